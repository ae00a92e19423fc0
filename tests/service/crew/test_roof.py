"""The roof through the API: doubts, symptoms and plans, the same as the core says."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from tests import cast

from lapwright.job.symptoms import BY_NAME
from lapwright.record.fact import Fact
from lapwright.store import Store

Call = Callable[..., Any]
pytestmark = pytest.mark.parametrize("engine", ["sqlite"], indirect=True)
RECTANGLE = "kind,area,x_m,y_m\n" + "".join(
    f"roof,A,{x},{y}\n" for x, y in ((0, 0), (40, 0), (40, 10), (0, 10))
)
SIZES = {"roll_width_m": 3.0, "roll_length_m": 30.0, "lap_mm": 150.0}


def failed_cut() -> list[Fact]:
    """A run of 100 ft between two passing test welds, with a failed cut at 60 to 61 ft."""
    morning = cast.morning()
    run = cast.ran("A-S001", "0 ft", "100 ft", at="08:00", decision=morning[-1])
    cut = cast.fact("cut", at="09:00", number="C-1", seam="A-S001", station="60 ft", length="1 ft")
    strip = cast.fact("strip", at="09:10", of=cut, number="1", pull="cold")
    return [*morning, *run, cut, strip, *cast.welded("8", "860 f", "fff", at="10:00")]


def keep(store: Store, facts: list[Fact]) -> None:
    """Put facts into the store, all new."""
    receipts = store.ledger.append(cast.JOB, facts, received_at="2026-05-05T00:00:00+00:00")
    assert {receipt.status for receipt in receipts} == {"kept"}


def test_a_failed_cut_is_told_with_its_feet_and_its_cost(store: Store, alone: Any) -> None:
    """All 100 ft of the run are in doubt; covering them at $4.50 a ft is the most it may cost."""
    keep(store, failed_cut())
    answer = alone.get(f"/api/jobs/{cast.JOB}/suspects").json()
    (doubt,) = answer["doubts"]
    assert [(each["seam"], each["start_ft"], each["end_ft"]) for each in doubt["spans"]] == [
        ("A-S001", 0.0, 100.0)
    ]
    assert doubt["cost"]["high"] == 450
    assert answer["cover_ft"] == 4.5
    dearer = alone.get(
        f"/api/jobs/{cast.JOB}/suspects", params={"cover_cost": 30, "units": "metric"}
    ).json()
    assert dearer["cover_m"] == 30
    assert dearer["doubts"][0]["cost"]["high"] == 910  # 30.48 m x 30 = 914, to two figures


def test_halving_is_another_next_cut(store: Store, alone: Any) -> None:
    """With one change in time the next cut is half-way back to the last pass, not a step away."""
    keep(store, failed_cut())
    why = {
        cause: [
            cut["why"]
            for cut in alone.get(f"/api/jobs/{cast.JOB}/suspects", params={"cause": cause}).json()[
                "doubts"
            ][0]["next_cuts"]
        ]
        for cause in ("local", "change")
    }
    assert why == {"local": ["step_back", "step_on"], "change": ["halve_back", "halve_on"]}


def test_a_late_find_leads_to_what_was_welded_with_the_same(store: Store, alone: Any) -> None:
    """The run at the place and all of its machine; a run nobody knows is refused."""
    facts = failed_cut()
    keep(store, facts)
    (run,) = (fact for fact in facts if fact.kind == "run")
    address = f"/api/jobs/{cast.JOB}/shared"
    found = alone.get(address, params={"run": run.id, "by": "machine"}).json()
    assert (found["length_ft"], found["blamed"]) == (100.0, "3")
    assert [each["id"] for each in found["chains"][0]["runs"]] == [run.id]
    unknown = alone.get(address, params={"run": facts[0].id, "by": "machine"})
    assert unknown.json()["error"]["code"] == "no_such_run"


def test_every_symptom_is_told_and_the_record_ranks_them(store: Store, alone: Any) -> None:
    """The whole table, with "peels clean" spoken of by the cold strip of the cut."""
    keep(store, failed_cut())
    answer = alone.get(f"/api/jobs/{cast.JOB}/symptoms", params={"lang": "es"}).json()
    assert {each["code"] for each in answer["symptoms"]} == set(BY_NAME)
    assert answer["spoken"][0] == "peels_clean"
    assert "old_sheet" not in answer["spoken"]
    silent = next(each for each in answer["symptoms"] if each["code"] == "old_sheet")
    assert silent["clues"] == []
    assert silent["causes"][0]["says"]


def test_a_roof_by_its_corners_becomes_a_plan(alone: Any) -> None:
    """40 m x 10 m with 3 m rolls: (10 - 3) / 2.85 = 2.5, so four rows and three laps of 40 m."""
    answer = alone.post("/api/plan", json={"corners": RECTANGLE, "sizes": SIZES}).json()
    total = answer["figures"]["total"]
    assert total["side_laps"] == 3
    assert total["side_length_ft"] == pytest.approx(3 * 40 / 0.3048, abs=0.1)
    assert "S003" in answer["svg"]
    (plan,) = answer["plans"]
    assert cast.fact("plan", **plan)["area"] == "A"


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"sizes": {"lap_mm": 150.0, "colour": 3}}, "bad_request"),
        ({"sizes": {}}, "lap_unknown"),
        ({"corners": "kind,x_m,y_m\nroof,0,0\nroof,9,0\nroof,0,9\nroof,9,9\n"}, "ring_crosses"),
        ({"corners": "kind,x_m,y_m\ncurb,0,0\ncurb,9,0\ncurb,9,9\n"}, "no_roof_drawn"),
        ({"corners": "kind,x,y\nroof,0,0\n"}, "length_without_unit"),
        ({"sizes": SIZES | {"roll_width_m": 9000.0}}, "out_of_range"),
    ],
)
def test_what_cannot_be_a_roof_is_refused(alone: Any, changes: Any, code: str) -> None:
    """Each refusal names what is wrong, in the one shape of errors."""
    answer = alone.post("/api/plan", json={"corners": RECTANGLE, "sizes": SIZES} | changes)
    assert answer.status_code == 422
    assert answer.json()["error"]["code"] == code
    assert answer.json()["error"]["message"]
