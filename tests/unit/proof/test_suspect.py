"""Suspect feet lie between passing evidence of the same chain, by hand-worked stations.

The rule: after a failed test weld or cut all feet between the last passing and the next passing
one are in doubt; 10 ft each way until a pass on both sides is a lining trade's practice.
"""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from tests import cast

from lapwright.errors import LapwrightError
from lapwright.proof.suspect import Suspicion, suspect, suspicions
from lapwright.proof.verdicts import Limits
from lapwright.record.fact import Fact

FOOT = 0.3048
LIMITS = Limits(
    strips=2, fused_width=0.0381, fused_width_hand=0.0508, grade_only=True, probe_cooling=1200.0
)
PASS = cast.welded("T1", "860 f", "ff", at="07:30")
RUNS = [
    one
    for n in range(4)
    for one in cast.ran("A-S001", f"{100 * n} ft", f"{100 * n + 100} ft", at=f"08:{10 * n + 10}")
]  # 8:10 to 8:50, 400 ft without a pause


def cut(number: str, station: int, pull: str) -> list[Fact]:
    """A cut of two feet with one strip."""
    taken = cast.fact("cut", at="10:00", number=number, seam="A-S001", station=f"{station} ft")
    return [taken, cast.fact("strip", at="10:20", of=taken, number="1", pull=pull)]


def doubts(*facts: Fact | Sequence[Fact], runs: Sequence[Fact] = RUNS) -> list[Suspicion]:
    """Every doubt of the cast's 400 ft and more facts."""
    return list(suspicions(cast.record(cast.SETUP, PASS, runs, *facts), LIMITS))


def feet(doubt: Suspicion) -> list[tuple[str, float, float]]:
    """Suspect spans in feet."""
    return [
        (each.seam, round(each.span.start / FOOT, 2), round(each.span.end / FOOT, 2))
        for each in doubt.spans
    ]


def test_a_failed_test_weld_doubts_back_to_the_last_pass() -> None:
    """Failed at 8:35, between the third and the fourth hundred: back to 0, on to the next pass."""
    failed = cast.welded("T2", "860 f", "fc", at="08:35", purpose="trigger")
    (doubt,) = doubts(failed)
    assert (doubt.since is not None, doubt.until) == (True, None)
    assert doubt.length == pytest.approx(400 * FOOT)
    passed = cast.welded("T3", "860 f", "ff", at="08:45")
    (doubt,) = doubts(failed, passed)
    assert doubt.is_bounded
    assert not doubt.is_closed
    assert feet(doubt) == [("A-S001", 0, 100), ("A-S001", 100, 200), ("A-S001", 200, 300),
                           ("A-S001", 300, 351)]  # fmt: skip


def test_a_failed_cut_is_bounded_by_passing_cuts() -> None:
    """Failed at 150 ft, passed up to 92 and from 210 ft: 118 ft and a foot at each end."""
    (doubt,) = doubts(cut("C1", 150, "skin"), cut("C2", 90, "full"), cut("C3", 210, "full"))
    assert feet(doubt) == [("A-S001", 91, 100), ("A-S001", 100, 200), ("A-S001", 200, 211)]
    assert doubt.length == pytest.approx(120 * FOOT)
    assert doubt.proven_bad == pytest.approx(2 * FOOT)
    assert doubt.is_bounded


def test_a_contradicted_test_weld_bounds_only_from_itself() -> None:
    """Without a passing cut before it the doubt begins at the test weld that was contradicted."""
    (doubt,) = doubts(cut("C1", 150, "skin"))
    assert doubt.since is not None
    assert doubt.since.fact["number"] == "T1"
    assert feet(doubt)[0][1] == 0
    assert not doubt.is_bounded


def test_failures_between_two_passes_are_one_doubt() -> None:
    """Cuts at 120 and 180 ft with nothing passing between are one stretch; a pass parts them."""
    pair = [*cut("C1", 120, "cold"), *cut("C2", 180, "cold")]
    (doubt,) = doubts(pair)
    assert [each.fact["number"] for each in doubt.failed] == ["C1", "C2"]
    assert len(doubts(pair, cut("C3", 150, "full"))) == 2


def test_another_chains_passes_bound_nothing() -> None:
    """Ines passing with the same machine says nothing of Tom's welds."""
    hers = cast.welded("T2", "860 f", "ff", at="09:00", operator=cast.INES)
    (doubt,) = doubts(cut("C1", 350, "cold"), hers)
    assert doubt.until is None


def test_feet_welded_over_or_covered_are_in_doubt_no_more() -> None:
    """A new run over 100 to 200 ft and a closed cover strip over 200 to 210 ft."""
    over = cast.ran("A-S001", "100 ft", "200 ft", at="11:00", operator=cast.INES)
    bad = cast.fact("defect", at="11:00", number="D1", seam="A-S001", station="200 ft",
                    length="10 ft", type="narrow_band")  # fmt: skip
    strip = cast.fact("repair", at="12:00", defect=bad, method="cover_strip", operator=cast.INES)
    closed = cast.fact("reprobe", at="13:00", repair=strip, prober=cast.LUZ)
    (doubt,) = doubts(cut("C1", 150, "cold"), over, bad, strip, closed)
    assert feet(doubt) == [("A-S001", 0, 100), ("A-S001", 210, 300), ("A-S001", 300, 400)]


def test_a_doubt_closes_when_bounded_and_covered() -> None:
    """Passing cuts at 140 and 160 ft, a closed cover strip from 139 to 161 ft between them."""
    facts = [*cut("C1", 150, "cold"), *cut("C2", 140, "full"), *cut("C3", 160, "full")]
    bad = cast.fact("defect", at="11:00", number="D1", seam="A-S001", station="139 ft",
                    length="22 ft", type="cold_weld", found_by="cut")  # fmt: skip
    strip = cast.fact("repair", at="12:00", defect=bad, method="cover_strip", operator=cast.INES)
    closed = cast.fact("reprobe", at="13:00", repair=strip, prober=cast.LUZ)
    (is_open,) = doubts(facts)
    assert not is_open.is_closed
    found = doubts(facts, bad, strip, closed)
    assert [each.is_closed for each in found if each.failure.kind == "cut"] == [True]


def test_sister_chains_are_looked_at() -> None:
    """Same generator at the same time, or only the same sky; one that worked later is no sister."""
    hers = cast.ran("A-S002", "0 ft", "50 ft", at="08:20", operator=cast.INES)
    apart = cast.ran("A-S003", "0 ft", "30 ft", at="08:20", machine=cast.OTHER_MACHINE,
                     power_setup=cast.OTHER_POWER)  # fmt: skip
    later = cast.ran("A-E001-1", "0 ft", "9 ft", at="15:00", operator=cast.ROSA)
    found = doubts(cut("C1", 350, "cold"), hers, apart, later)[0].sisters
    assert {(each.why, round(each.length / FOOT)) for each in found} == {
        ("generator", 50),
        ("weather", 30),
    }


def test_one_failure_by_its_id() -> None:
    """The doubt of one fact; what did not fail raises none, and says so."""
    facts = [*cut("C1", 150, "cold"), *cut("C2", 90, "full")]
    record = cast.record(cast.SETUP, PASS, RUNS, facts)
    assert suspect(record, facts[0].id, LIMITS) == doubts(facts)[0]
    for other in (facts[2].id, PASS[0].id, "unknown"):
        with pytest.raises(LapwrightError, match="not_a_failure"):
            suspect(record, other, LIMITS)


def test_a_failure_before_anything_was_welded_raises_no_doubt() -> None:
    """A failed confirming weld in the morning puts no foot at risk."""
    assert doubts(cast.welded("T2", "860 f", "cc", at="07:40"), runs=[]) == []
