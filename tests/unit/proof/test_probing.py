"""Nothing closes unprobed, and a probe speaks only of feet that were there and cool."""

from __future__ import annotations

import pytest
from tests import cast

from lapwright.proof.probing import Mended, cooled_span, mended, span_of
from lapwright.proof.runs import welded_runs
from lapwright.proof.verdicts import Limits
from lapwright.record.fact import Fact

FOOT = 0.3048
LIMITS = Limits(
    strips=2, fused_width=0.0381, fused_width_hand=0.0508, grade_only=True, probe_cooling=1200.0
)
VOID = cast.fact("defect", at="09:00", number="V1", seam="A-S001", station="12 ft")


def state(*facts: Fact) -> Mended:
    """State of the one void after these facts."""
    return mended(cast.record(cast.PEOPLE, VOID, list(facts)), LIMITS)[VOID.id]


def repaired(at: str = "10:00", **body: object) -> Fact:
    """A patch by Ines."""
    return cast.fact("repair", at=at, **({"defect": VOID, "operator": cast.INES} | body))


def probed(repair: Fact, at: str = "10:30", **body: object) -> Fact:
    """A re-probe by Luz."""
    return cast.fact("reprobe", at=at, **({"repair": repair, "prober": cast.LUZ} | body))


def test_a_defect_closes_by_another_persons_probe_once_cool() -> None:
    """Found, patched, cooled, probed by another: closed; every step short of it is open."""
    repair = repaired()
    assert state().why_open == "not_repaired"
    assert state(repair).why_open == "not_reprobed"
    assert state(repair, probed(repair, at="10:19")).why_open == "too_warm"
    assert state(repair, probed(repair, prober=cast.INES)).why_open == "same_person"
    assert state(repair, probed(repair, result="open")).why_open == "found_open"
    closed = state(repair, probed(repair, at="10:20"))
    assert (closed.why_open, closed.is_open) == (None, False)
    assert closed.closed_by == probed(repair, at="10:20")


def test_the_repairer_under_another_id_does_not_close_it() -> None:
    """Two facts of one name may be one person: nobody proves his own repair that way."""
    other_ines = cast.fact("person", at="06:31", name="Ines", tasks=["probe"])
    repair = repaired()
    assert state(other_ines, repair, probed(repair, prober=other_ines)).why_open == "same_person"


def test_the_newest_word_counts() -> None:
    """Open after closed is open again; a void probe by the repairer undoes no closing."""
    repair = repaired()
    closing = probed(repair)
    assert state(repair, closing, probed(repair, at="11:00", result="open")).is_open
    assert not state(repair, closing, probed(repair, at="11:00", prober=cast.INES)).is_open
    opened = probed(repair, at="10:25", result="open")
    assert not state(repair, opened, probed(repair, at="11:00")).is_open


def test_a_second_repair_wants_its_own_probe() -> None:
    """A probe of the first patch says nothing of the second one."""
    first, second = repaired(), repaired(at="11:00", method="cover_strip")
    mend = state(first, probed(first), second)
    assert mend.why_open == "not_reprobed"
    assert (mend.repairs, len(mend.reprobes)) == ((first, second), 1)
    assert not state(first, probed(first), second, probed(second, at="11:30")).is_open


def test_a_withdrawn_probe_opens_the_defect_again() -> None:
    """Taking the re-probe back takes the closing back."""
    repair = repaired()
    closing = probed(repair)
    undo = cast.fact("correction", at="11:00", of=closing, field="withdrawn", new=True)
    assert state(repair, closing, undo).why_open == "not_reprobed"


@pytest.mark.parametrize(
    ("fact", "start", "end"),
    [
        (cast.fact("probe", seam="s", start="40 ft", end="10 ft", prober=cast.LUZ), 10, 40),
        (cast.fact("probe", seam="s", start="10 ft", end="10 ft", prober=cast.LUZ), 10, 11),
        (cast.fact("defect", number="1", seam="s", station="7 ft", length="2 ft"), 7, 9),
        (cast.fact("defect", number="1", seam="s", station="7 ft", length=None), 7, 8),
        (cast.fact("cut", number="1", seam="s", station="7 ft", length="0 ft"), 7, 8),
    ],
)
def test_what_nobody_measured_takes_a_foot(fact: Fact, start: float, end: float) -> None:
    """A span from its station on, in either direction, never empty."""
    span = span_of(fact)
    assert (span.start, span.end) == pytest.approx((start * FOOT, end * FOOT))


def test_a_probe_speaks_of_cool_feet_only() -> None:
    """100 ft from 8:00 to 8:10; a probe of all of it at 8:25 speaks of the first 50 ft."""
    record = cast.record(cast.SETUP, cast.ran("A-S001", "0 ft", "100 ft", at="08:00"))
    (run,) = welded_runs(record)
    spans = {
        clock: cooled_span(
            record,
            cast.fact("probe", at=clock, seam="A-S001", start="0 ft", end="100 ft",
                      prober=cast.LUZ),
            run,
            LIMITS,
        )
        for clock in ("07:00", "08:19", "08:25", "09:00")
    }  # fmt: skip
    assert spans["07:00"] is spans["08:19"] is None
    assert spans["08:25"] is not None
    assert spans["08:25"].end == pytest.approx(50 * FOOT)
    assert spans["09:00"] is not None
    assert spans["09:00"].length == pytest.approx(100 * FOOT)


def test_a_hand_welder_does_not_prove_his_own_lap() -> None:
    """Of hand welds another person's probe counts; an automatic's operator may probe."""
    for machine, counts in ((cast.GUN, False), (cast.MACHINE, True)):
        run = cast.ran("A-D001", "0 ft", "10 ft", at="08:00", machine=machine, operator=cast.INES)
        record = cast.record(cast.SETUP, run)
        by = [
            cast.fact("probe", at="09:00", seam="A-D001", start="0 ft", end="9 ft", prober=who)
            for who in (cast.INES, cast.LUZ)
        ]
        own, other = (cooled_span(record, p, welded_runs(record)[0], LIMITS) for p in by)
        assert (own is not None, other is not None) == (counts, True)
