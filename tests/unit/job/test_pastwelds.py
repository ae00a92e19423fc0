"""Past test welds as columns: the same strips count, and as the same, as in a morning."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields

import numpy as np
import pytest
from tests import cast
from tests.week import week_facts

from lapwright.job.pastwelds import Past, nozzle_kind, past_welds
from lapwright.record.fact import Fact
from lapwright.record.replay import Record
from lapwright.record.tested import TestedJobs, each_tested
from lapwright.units import to_si
from lapwright.window.history import learn
from lapwright.window.pastwelds import UNKNOWN, PastWelds
from lapwright.window.strips import TestWeld


def past(*facts: Fact | Sequence[Fact], invented: bool = True) -> Past:
    """Columns of the cast's record."""
    record = cast.record(cast.SETUP, *facts)
    return past_welds([TestedJobs({cast.JOB: record}, [*each_tested(record)])], invented=invented)


def one(*facts: Fact | Sequence[Fact], name: str) -> float:
    """The value of a column when there is one weld."""
    [value] = getattr(past(*facts).welds, name)
    return float(value)


def test_the_practice_ladder_gives_the_practice_welds(ladder_welds: tuple[TestWeld, ...]) -> None:
    """Columns say of each weld what the ladder typed by hand says."""
    welds = past(cast.morning()).welds
    for row, typed in enumerate(ladder_welds):
        assert (welds.air[row], welds.speed[row], welds.sheet[row]) == pytest.approx(
            (typed.true_air, typed.speed, typed.sheet), rel=1e-6
        )
        assert (welds.cold[row], welds.partial[row], welds.full[row]) == typed.bond_counts
        none, signs = typed.heat_counts
        assert (bool(welds.looked[row]), bool(welds.signs[row])) == (none + signs > 0, signs > 0)
    assert len(welds.air) == len(ladder_welds) + 1  # and the weld that confirmed


def test_a_day_is_one_machine_one_pairing_one_nozzle() -> None:
    """Welds of one machine, pairing, nozzle and date share a day; anything else begins one."""
    wide = cast.fact("nozzle_setup", at="06:46", machine=cast.MACHINE, nozzle_width="40 mm")
    found = past(
        cast.welded(1, "860 f", "fff"),
        cast.welded(2, "900 f", "fff", at="07:20"),
        wide,
        cast.welded(3, "860 f", "fff", at="07:30", nozzle=wide),
        cast.welded(4, "860 f", "fff", at="07:40", machine=cast.OTHER_MACHINE),
        cast.welded(5, "860 f", "fff", at="07:50", pairing=cast.OTHER_PAIRING),
        cast.welded(6, "860 f", "fff", day="2026-06-04"),
    )
    welds = found.welds
    assert welds.day.tolist() == [0, 0, 1, 2, 3, 4]
    assert welds.month.tolist() == [5, 5, 5, 5, 6]
    assert welds.machine[2] == found.machines["4", "automatic"] != found.machines["3", "automatic"]
    assert welds.nozzle.tolist() == [found.nozzles[width] for width in (381, 400, 381, 381, 381)]
    white, grey = (("tpo", colour, "reinforced", 0.00152) for colour in ("white", "grey"))
    assert set(found.pairings) == {(white, white, False), (grey, grey, False)}
    assert welds.pairing[3] == found.pairings[grey, grey, False]


def test_the_same_sheets_and_machine_are_one_on_every_job() -> None:
    """Rolls, jobs and facts anew change nothing: kinds and painted numbers make the keys."""
    jobs = {}
    for job in ("01976d00-0000-7000-8000-00000000000a", "01976d00-0000-7000-8000-00000000000b"):
        machine = cast.fact("machine", number="3", job=job)
        lot = cast.fact("lot", number=f"roll {job[-1]}", thickness="1.52 mm", job=job)
        pairing = cast.fact("pairing", upper=lot, lower=lot, job=job)
        sky = cast.fact("conditions", job=job)
        weld = cast.fact(
            "test_weld", number="1", air="860 f", speed="10 ft_min", conditions=sky, job=job,
            machine=machine, operator=cast.TOM, pairing=pairing,
        )  # fmt: skip
        strip = cast.fact("strip", of=weld, number="1", pull="full", job=job)
        jobs[job] = Record([machine, lot, pairing, sky, weld, strip])
    found = past_welds(TestedJobs({job: jobs[job]}, [*each_tested(jobs[job])]) for job in jobs)
    assert found.welds.day.tolist() == [0, 0]
    assert found.welds.nozzle.tolist() == [UNKNOWN]
    assert (len(found.pairings), len(found.machines), len(found.nozzles)) == (1, 1, 0)


def test_what_was_measured_counts_and_no_machine_is_hotter_than_it_is() -> None:
    """Measured air and speed win; a setting beyond the machine counts as the hottest it reaches."""
    more = {"measured_air": "800 f measured", "measured_speed": "9 ft_min measured"}
    assert one(cast.welded(1, "860 f", "f", **more), name="air") == pytest.approx(to_si(800, "f"))
    assert one(cast.welded(1, "860 f", "f", **more), name="speed") == pytest.approx(
        to_si(9, "ft_min")
    )
    assert one(cast.welded(1, "1180 f", "f"), name="air") == pytest.approx(to_si(1148, "f"))


def test_the_worse_of_two_looks_at_a_strip_counts() -> None:
    """A strip graded twice is one strip, of the worse grade; invalid and split say nothing."""
    weld = cast.welded(1, "860 f", "ffxs")
    again = cast.fact("strip", at="08:00", of=weld[0], number="2", pull="skin", second_look=True)
    found = past(weld, again).welds
    assert (found.cold[0], found.partial[0], found.full[0]) == (1, 0, 1)


def test_who_did_not_look_at_everything_did_not_look() -> None:
    """A look with the corner left out is none, unless it saw a sign."""
    assert one(cast.welded(1, "860 f", "f", corner=None), name="looked") == 0
    assert one(cast.welded(1, "860 f", "f", heat=None), name="looked") == 0
    assert one(cast.welded(1, "860 f", "f", corner=None, heat="smoke"), name="signs") == 1
    assert one(cast.welded(1, "860 f", "f", corner="bare_scrim"), name="signs") == 1


def test_welds_that_teach_nothing_are_counted_apart() -> None:
    """No strips, unknown sheets, no conditions, dials and mistyped values, each by its name."""
    nowhere = cast.fact("conditions", day="2026-05-01")
    found = past(
        cast.welded(1, "860 f", ""),
        cast.welded(3, "860 f", "f", pairing=None),
        cast.welded(4, "860 f", "f", conditions=nowhere),
        cast.welded(5, "6 dial", "f"),
        cast.welded(6, "8600 f", "f"),
    )
    assert found.left_out == {
        "no_strips": 1, "no_sheet_kind": 1, "weld_without_conditions": 1, "weld_on_dial": 1,
        "weld_mistyped": 1,
    }  # fmt: skip
    assert len(found.welds.day) == 0


def test_examples_teach_real_mornings_nothing() -> None:
    """Welds of an invented job and of real ones are never learnt from together."""
    assert len(past(cast.morning(), invented=False).welds.day) == 0


def test_columns_are_of_the_types_that_learning_asks_for() -> None:
    """Every column has its type, also of a store without a weld."""
    kinds = dict(zip(
        (each.name for each in fields(PastWelds)),
        ["i4", "f4", "f4", "f4", "i1", "i1", "i1", "?1", "?1", "i1", "i4", "i4", "i4", "i1"],
        strict=True,
    ))  # fmt: skip
    for found in (past(), past(cast.morning())):
        for name, kind in kinds.items():
            assert getattr(found.welds, name).dtype == np.dtype(kind.replace("?1", "?")), name


def test_a_week_is_learnt_from() -> None:
    """The invented week's welds go into a belief for its machine and sheet."""
    record = Record(week_facts())
    [job] = record.all("job")
    found = past_welds([TestedJobs({job.job: record}, [*each_tested(record)])], invented=True)
    assert sum(found.left_out.values()) + len(found.welds.day) == len(record.all("test_weld"))
    assert learn(found.welds).days[0, 0] == len(np.unique(found.welds.day))


@pytest.mark.parametrize("width", [0.0381, 0.03812, 0.03808])
def test_a_nozzle_is_known_by_its_width(width: float) -> None:
    """1.5 in is 38.1 mm, however it is typed."""
    assert nozzle_kind(width) == nozzle_kind(to_si(1.5, "in"))
