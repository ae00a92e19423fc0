"""The next cut on each side, and what finding and covering may cost.

1,815 ft down to 10 ft takes 8 cuts by halving: 1815 / 2**8 = 7.1 ft, 1815 / 2**7 = 14.2 ft.
"""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from tests import cast

from lapwright.proof.bounding import BoundingCut, Cause, Rates, bounding_cuts, cost, cuts_to_find
from lapwright.proof.chains import Chains
from lapwright.proof.runs import welded_runs
from lapwright.proof.strand import strands
from lapwright.proof.suspect import Suspicion, suspicions
from lapwright.proof.verdicts import Limits
from lapwright.record.fact import Fact

FOOT = 0.3048
LIMITS = Limits(
    strips=2, fused_width=0.0381, fused_width_hand=0.0508, grade_only=True, probe_cooling=1200.0
)
PASS = cast.welded("T1", "860 f", "ff", at="07:30")
RUN = cast.ran("A-S001", "0 ft", "400 ft", at="08:00", until="08:40")


def cut(number: str, station: float, pull: str) -> list[Fact]:
    """A cut of two feet with one strip."""
    taken = cast.fact("cut", at="10:00", number=number, seam="A-S001", station=f"{station} ft")
    return [taken, cast.fact("strip", at="10:20", of=taken, number="1", pull=pull)]


def doubt(*facts: Fact | Sequence[Fact]) -> tuple[Suspicion, tuple[BoundingCut, ...]]:
    """The doubt and its cuts, stepping out."""
    return next_cuts("local", *facts)


def next_cuts(
    cause: Cause, *facts: Fact | Sequence[Fact]
) -> tuple[Suspicion, tuple[BoundingCut, ...]]:
    """The one doubt of 400 ft and its next cuts."""
    record = cast.record(cast.SETUP, PASS, RUN, *facts)
    (found,) = suspicions(record, LIMITS)
    strand = strands(welded_runs(record), Chains(record))[found.chain]
    return found, bounding_cuts(found, strand, cause=cause)


def stations(cuts: Sequence[BoundingCut]) -> list[tuple[float, str]]:
    """Where, in feet, and why."""
    return [(round(each.place.station / FOOT, 2), each.why) for each in cuts]


def test_step_out_both_ways() -> None:
    """Failed from 150 to 152 ft: 140 and 162 ft; failed there too: 130 and 174 ft."""
    assert stations(doubt(cut("1", 150, "cold"))[1]) == [(140, "step_back"), (162, "step_on")]
    more = [*cut("1", 150, "cold"), *cut("2", 140, "cold"), *cut("3", 162, "skin")]
    assert stations(doubt(more)[1]) == [(130, "step_back"), (174, "step_on")]


def test_a_side_with_a_passing_cut_within_a_step_is_done() -> None:
    """Passed at 140 ft: only the other side is left; passed at 120 ft: one more at 140."""
    near = [*cut("1", 150, "cold"), *cut("2", 140, "full")]
    assert stations(doubt(near)[1]) == [(162, "step_on")]
    far = [*cut("1", 150, "cold"), *cut("2", 120, "full")]
    assert stations(doubt(far)[1])[0] == (140, "step_back")


def test_halving_meets_the_one_change() -> None:
    """Between the pass at 0 and the failure at 160 ft: 80 ft; from 162 to 400 ft: 281 ft."""
    assert stations(next_cuts("change", cut("1", 160, "cold"))[1]) == [
        (80, "halve_back"),
        (281, "halve_on"),
    ]


def test_halving_ends_within_a_step_in_as_few_cuts_as_said() -> None:
    """A change at 37 ft, cut until bounded: never more cuts than foreseen for that side."""
    facts, count = [*cut("0", 390, "cold")], 0
    foreseen = cuts_to_find(390 * FOOT, cause="change")
    while True:
        back = [each for each in next_cuts("change", facts)[1] if each.why == "halve_back"]
        if not back:
            break
        count += 1
        at = round(back[0].place.station / FOOT, 3)
        facts += cut(str(count), at, "full" if at < 37 else "cold")
    assert count <= foreseen == 6


def test_the_published_example_of_halving() -> None:
    """1,815 ft down to 10 ft: 8 cuts against about 180 at steps of 10 ft."""
    assert cuts_to_find(1815 * FOOT, cause="change") == 8
    assert cuts_to_find(1815 * FOOT, cause="local") == pytest.approx(180, abs=1)
    assert cuts_to_find(10 * FOOT, cause="change") == cuts_to_find(9 * FOOT, cause="local") == 0


def test_after_a_failed_test_weld_the_newest_end_is_cut_first() -> None:
    """Nothing on the roof has failed yet: a foot before the end of what was welded."""
    failed = cast.welded("T2", "860 f", "cc", at="08:50", purpose="trigger")
    assert stations(doubt(failed)[1]) == [(399, "newest_end")]
    bad = cut("1", 399, "cold")
    assert stations(next_cuts("change", failed, bad)[1]) == [(199.5, "halve_back")]
    good = cut("1", 399, "full")
    record = cast.record(cast.SETUP, PASS, RUN, failed, good)
    assert suspicions(record, LIMITS) == ()  # all that was welded came before a passing cut


def test_the_cost_reaches_from_what_is_proven_to_what_is_suspect() -> None:
    """$4.50 a foot for the 2 ft proven bad and 2 cuts; or for 400 ft, probed, and every cut."""
    found, _ = doubt(cut("1", 150, "cold"))
    rates = Rates(cover=4.5 / FOOT, cut=60.0, probe=0.1 / FOOT)
    reach = cost(found, cause="change", rates=rates)
    assert (reach.fewest_cuts, reach.most_cuts) == (2, 4 + 5)
    assert reach.low == pytest.approx(2 * 4.5 + 2 * 60)
    assert reach.high == pytest.approx(400 * 4.6 + 9 * 60)
    bare = cost(found, cause="local", rates=Rates())
    assert bare.high == pytest.approx(400 * 4.5)


def test_a_closed_doubt_costs_nothing_more() -> None:
    """Where every foot is covered there is nothing to cut and nothing to pay."""
    over = cast.ran("A-S001", "0 ft", "400 ft", at="12:00", operator=cast.INES)
    found, cuts = doubt(cut("1", 150, "cold"), over)
    assert (found.spans, cuts) == ((), ())
    assert cost(found, cause="local", rates=Rates()).high == 0.0
