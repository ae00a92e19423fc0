"""The feet of a chain end to end in the order of welding, by hand-worked stations."""

from __future__ import annotations

from datetime import datetime

import pytest
from tests import cast

from lapwright.proof.chains import Chains
from lapwright.proof.runs import welded_runs
from lapwright.proof.strand import EvidenceOf, Strand, strands
from lapwright.proof.verdicts import Limits, Results
from lapwright.record.fact import Fact

FOOT = 0.3048
LIMITS = Limits(
    strips=2, fused_width=0.0381, fused_width_hand=0.0508, grade_only=True, probe_cooling=1200.0
)
RUNS = [
    *cast.ran("A-S001", "0 ft", "100 ft", at="08:00"),
    *cast.ran("A-S002", "50 ft", "0 ft", at="09:00"),  # back the other way
    *cast.ran("A-S003", "0 ft", "9 ft", at="08:30", operator=cast.INES),
    *cast.ran("A-S003", "9 ft", "90 ft", at="09:30")[:1],  # still going
]


def at(clock: str) -> datetime:
    """A moment of the cast's day."""
    return datetime.fromisoformat(cast.time(clock))


def toms(*facts: Fact) -> tuple[Strand, list[tuple[str, str, float]]]:
    """Tom's strand, and its evidence by number, verdict and feet."""
    record = cast.record(cast.SETUP, RUNS, list(facts))
    chains, runs = Chains(record), welded_runs(record)
    strand = strands(runs, chains)[chains.of(RUNS[0])]
    told = EvidenceOf(record, Results(record, LIMITS), chains, runs).of(strand)
    return strand, [(e.fact["number"], e.said, round(e.along / FOOT, 3)) for e in told]


def test_runs_of_a_chain_lie_end_to_end() -> None:
    """100 ft and 50 ft make 150 ft; another operator's feet and a run still going are not in it."""
    strand, _ = toms()
    assert strand.length == pytest.approx(150 * FOOT)
    assert strand.along_at(at("07:00")) == 0.0
    assert strand.along_at(at("08:05")) == pytest.approx(50 * FOOT)
    assert strand.along_at(at("08:45")) == pytest.approx(100 * FOOT)
    assert strand.along_at(at("09:04")) == pytest.approx(120 * FOOT)
    assert strand.along_at(at("12:00")) == pytest.approx(150 * FOOT)


def test_a_place_goes_there_and_back() -> None:
    """Foot 120 of the work lies at 30 ft of the seam that was run backwards."""
    strand, _ = toms()
    place = strand.place(120 * FOOT)
    assert place is not None
    assert (place.seam, place.station) == ("A-S002", pytest.approx(30 * FOOT))
    assert strand.along_of(strand.runs[1], 30 * FOOT) == pytest.approx(120 * FOOT)
    assert strand.place(151 * FOOT) is None
    assert Strand(strand.chain, []).place(0.0) is None


def test_spans_follow_the_machine() -> None:
    """Feet 90 to 110 of the work: the end of one seam and the far end of the next."""
    strand, _ = toms()
    found = [(run.seam, span.start / FOOT, span.end / FOOT) for run, span in
             strand.spans(90 * FOOT, 110 * FOOT)]  # fmt: skip
    assert found == [("A-S001", pytest.approx(90), pytest.approx(100)),
                     ("A-S002", pytest.approx(40), pytest.approx(50))]  # fmt: skip
    assert strand.spans(10.0, 10.0) == []


def strip(of: Fact, pull: str) -> Fact:
    """One strip of a cut."""
    return cast.fact("strip", at="12:00", of=of, number="1", pull=pull)


def test_evidence_stands_where_it_was_welded() -> None:
    """Cuts by station, test welds by their time; trials that failed and probes say nothing."""
    cuts = [
        cast.fact("cut", at="11:00", number=number, seam=seam, station=f"{station} ft")
        for number, seam, station in (
            ("C1", "A-S002", 30), ("C2", "A-S001", 10), ("C3", "A-S003", 5), ("C4", "A-S001", 140),
        )
    ]  # fmt: skip
    strips = [strip(cut, pull) for cut, pull in zip(cuts, "fcff", strict=True)
              for pull in [{"f": "full", "c": "cold"}[pull]]]  # fmt: skip
    void = cast.fact("defect", at="11:00", number="V1", seam="A-S001", station="70 ft")
    false = cast.fact("defect", at="11:00", number="V2", seam="A-S001", station="80 ft",
                      type="false_weld", found_by="leak")  # fmt: skip
    welds = [
        *cast.welded("T1", "860 f", "ff", at="07:30"),
        *cast.welded("T2", "700 f", "cc", at="08:40", purpose="search"),
        *cast.welded("T3", "700 f", "ff", at="08:41", purpose="search"),
        *cast.welded("T4", "860 f", "fc", at="08:50", purpose="trigger"),
        *cast.welded("T5", "860 f", "f", at="08:51"),
        *cast.welded("T6", "860 f", "ff", at="08:52", operator=cast.INES),
    ]
    _, told = toms(*cuts, *strips, void, false, *welds)
    assert told == [
        ("T1", "passed", 0),
        ("C2", "failed", 10),
        ("V2", "failed", 80),
        ("T3", "passed", 100),
        ("T4", "failed", 100),
        ("C1", "passed", 118),  # two feet, welded from 32 to 30 ft
    ]
