"""A plan goes into one fact and comes back as the same seams."""

from __future__ import annotations

import json

import pytest
from tests import cast

from lapwright.job.planned import plan_body, planned_joints, planned_joints_at, planned_seams
from lapwright.roof.layout import Layout
from lapwright.roof.outline import Opening, outline, ring
from lapwright.roof.plan import plan_area
from lapwright.roof.station import Span


def test_a_plan_survives_its_fact() -> None:
    """Seams and T-joints of a plan are those of the fact, after a walk through JSON."""
    edge = ring([(0, 0), (40, 0), (40, 10), (0, 10)], name="A")
    plan = plan_area(outline("A", edge), Layout(width=3.0, roll=30.0, lap=0.15, end_lap=0.15))
    body = json.loads(json.dumps(plan_body(plan)))
    record = cast.record(cast.fact("plan", **body))
    seams = planned_seams(record)
    assert list(seams) == [seam.id for seam in plan.seams]
    for seam in plan.seams:
        assert sum(span.length for span in seams[seam.id]) == pytest.approx(seam.length, abs=1e-3)
    assert plan.t_joints
    assert set(planned_joints(record)) == {joint.id for joint in plan.t_joints}


_JOINT = {"id": "A-T-S002-001", "station": 0.3}


def plan(at: str, area: str, *seams: object) -> object:
    """A plan fact with these seams."""
    return cast.fact("plan", at=at, area=area, outline=[], seams=list(seams))


def test_the_newest_plan_of_each_area_counts() -> None:
    """A new plan of area A replaces the old one and leaves area B alone."""
    facts = [
        plan("06:00", "A", {"id": "A-S001", "spans": [[0, 10]]}),
        plan("06:10", "B", {"id": "B-S001", "spans": [[0, 5.5]]}),
        plan("07:00", "A", {"id": "A-S002", "spans": [[0, 3], [4, 9]]}),
    ]
    assert planned_seams(cast.record(facts)) == {  # type: ignore[arg-type]
        "A-S002": (Span(0, 3), Span(4, 9)),
        "B-S001": (Span(0, 5.5),),
    }


@pytest.mark.parametrize(
    "seam",
    [
        "A-S001",
        {"id": 7, "spans": []},
        {"id": "A-S001"},
        {"id": "A-S001", "spans": [[5, 5]]},
        {"id": "A-S001", "spans": [["0", "5"]]},
        {"id": "A-S001", "spans": [[0, 5, 9]]},
        {"id": "A-S001", "spans": [[False, True]]},
    ],
)
def test_a_seam_that_cannot_be_read_is_left_out(seam: object) -> None:
    """One bad seam of a plan written by hand spoils no other."""
    good = {"id": "A-S002", "spans": [[0, 5]], "t_joints": [_JOINT, "x", {}]}
    record = cast.record([plan("06:00", "A", seam, good)])  # type: ignore[list-item]
    assert list(planned_seams(record)) == ["A-S002"]
    assert planned_joints(record) == ("A-T-S002-001",)
    assert planned_joints_at(record) == {"A-S002": [0.3]}


def test_a_fact_says_where_its_seams_lie() -> None:
    """From origin and heading each station lies where the plan has it, and the curb is there."""
    edge = ring([(0, 0), (40, 0), (40, 10), (0, 10)], name="A")
    curb = Opening("curb", ring([(10, 4), (12, 4), (12, 5), (10, 5)], name="unit"), "unit")
    area = outline("A", edge, openings=[curb], level="main")
    plan = plan_area(area, Layout(width=3.0, roll=30.0, lap=0.15, end_lap=0.15, run=1.0))
    body = json.loads(json.dumps(plan_body(plan)))
    assert (body["level"], [each["name"] for each in body["openings"]]) == ("main", ["unit"])
    drawn = {seam["id"]: seam for seam in body["seams"] if seam["spans"]}
    for seam in plan.seams:
        (x, y), (along_x, along_y) = drawn[seam.id]["origin"], drawn[seam.id]["heading"]
        station = drawn[seam.id]["spans"][-1][1]
        place = (x + station * along_x, y + station * along_y)
        assert place == pytest.approx(seam.at(seam.spans[-1].end), abs=1e-3)
