"""What happened is seen in the record, at its time and for its machine."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from tests import cast

from lapwright.job.happened import happenings, stops
from lapwright.job.testing import limits_of
from lapwright.proof.chains import Chains
from lapwright.proof.runs import welded_runs
from lapwright.proof.verdicts import Results
from lapwright.readings.rules import read_rule_book
from lapwright.record.fact import Fact

LIMITS = limits_of(read_rule_book([]))


def happened(*facts: Fact | Sequence[Fact]) -> list[tuple[str, str, str]]:
    """Time, event and machine of each, in order."""
    record = cast.record(cast.SETUP, *facts)
    found = happenings(record, Chains(record), Results(record, LIMITS), welded_runs(record))
    numbers = {cast.MACHINE.id: "3", cast.OTHER_MACHINE.id: "4"}
    return sorted((f"{one.at:%H:%M}", one.event, numbers[one.machine]) for one in found)


def test_what_the_crew_says_is_taken_as_said() -> None:
    """A known event that happened counts; an answer to one, or an unknown word, does not."""
    told = {"machine": cast.MACHINE, "operator": cast.TOM}
    events = [
        cast.fact("event", at="09:00", trigger="restart", **told),
        cast.fact("event", at="09:01", trigger="restart", answer="overruled", **told),
        cast.fact("event", at="09:02", trigger="full moon", **told),
    ]
    assert happened(events) == [("09:00", "restart", "3")]


def test_a_cut_is_laid_to_the_machine_on_top_when_it_was_taken() -> None:
    """Machine 4 welded over machine 3's feet later: the earlier cut is machine 3's."""
    below = cast.ran("A-S001", "0 ft", "50 ft", at="08:00")
    above = cast.ran("A-S001", "0 ft", "50 ft", at="10:00", machine=cast.OTHER_MACHINE)
    cuts = [
        cast.fact("cut", at=clock, number=clock, seam="A-S001", station="9 ft")
        for clock in ("09:00", "11:00")
    ]
    strips = [cast.fact("strip", at="11:30", of=c, number="1", pull="cold") for c in cuts]
    assert happened(below, above, cuts, strips) == [
        ("09:00", "failed_cut", "3"),
        ("11:00", "failed_cut", "4"),
    ]


def test_voids_of_two_machines_do_not_add_up() -> None:
    """Two voids of machine 3 and one of machine 4 in one seam are no drift of either."""
    runs = [
        *cast.ran("A-S001", "0 ft", "50 ft", at="08:00"),
        *cast.ran("A-S001", "50 ft", "90 ft", at="09:00", machine=cast.OTHER_MACHINE),
    ]
    voids = [
        cast.fact("defect", at=f"10:0{n}", number=f"{n}", seam="A-S001", station=f"{at} ft")
        for n, at in enumerate((30, 40, 60, 45))
    ]
    assert happened(runs, voids[:3]) == []
    assert happened(runs, voids) == [("10:03", "voids_close", "3")]


def test_a_machine_stands_from_the_end_of_a_run_to_what_it_does_next() -> None:
    """A run at 8:00 and 9:00 and a test weld at 8:40: it stood from 8:10 to 8:40 only."""
    runs = welded_runs(
        cast.record(
            cast.ran("A-S001", "0 ft", "9 ft", at="08:00"),
            cast.ran("A-S001", "9 ft", "20 ft", at="09:00"),
            cast.ran("A-S001", "20 ft", "30 ft", at="09:10"),
        )
    )
    weld = cast.welded(1, "860 f", "", at="08:40")[0]
    stood = [(f"{a:%H:%M}", f"{b:%H:%M}") for a, b in stops(runs, [weld])]
    assert stood == [("08:10", "08:40")]
    assert stops([], [weld]) == []
    assert all(isinstance(a, datetime) for a, _ in stops(runs, []))
