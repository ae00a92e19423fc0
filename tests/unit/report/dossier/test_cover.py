"""The first page: its figures are what somebody finds who counts the record foot by foot."""

from __future__ import annotations

import re

import pytest
from tests import cast
from tests.handed import EN, ES, grids, pairs, teller, week, week_closed

from lapwright.record.fact import Fact
from lapwright.report.dossier.cover import cover, moment, open_rows
from lapwright.report.dossier.telling import Teller
from lapwright.report.paper.blocks import Words

HALF = 0.1524  # m in half a foot: no station of the week lies between two of them


def feet(start: float, end: float) -> set[int]:
    """Half feet between two stations in feet."""
    low, high = sorted((start, end))
    return set(range(round(2 * low), round(2 * high)))


def typed(fact: Fact, name: str) -> float:
    """A station as somebody typed it, in feet."""
    assert fact[name]["unit"] == "ft"
    return float(fact[name]["typed"])


def counted() -> dict[str, float]:
    """The seam of the week in feet, counted half foot by half foot from the facts alone."""
    facts = week()
    ends = {fact["run"]: fact for fact in facts if fact.kind == "run_end"}
    planned: set[tuple[str, int]] = set()
    for plan in (fact for fact in facts if fact.kind == "plan"):
        for seam in plan["seams"]:
            for start, end in seam["spans"]:
                stretch = range(round(start / HALF), round(end / HALF))
                planned |= {(seam["id"], half) for half in stretch}
    welded, untested, walked = set(), set(), set()
    for fact in facts:
        if fact.kind == "run":
            span = feet(typed(fact, "station"), typed(ends[fact.id], "station"))
            own = {(fact["seam"], half) for half in span}
            welded |= own
            untested = untested - own | (own if fact["decision"] is None else set())
        if fact.kind == "probe":
            walk = feet(typed(fact, "start"), typed(fact, "end"))
            walked |= {(fact["seam"], half) for half in walk}
    return {
        "seam planned or welded": len(planned | welded) / 2,
        "welded": len(welded) / 2,
        "with a valid test weld behind it": len(welded - untested) / 2,
        "probed once cool": len(welded & walked) / 2,
    }


def test_the_sums_are_what_counting_half_feet_gives() -> None:
    """Seam planned, welded, backed and probed, by another path than the trace."""
    table = grids(cover(Teller(week_closed(), EN)))["Seam"]
    told = {row[0]: float(re.sub(r"[^\d.]", "", row[1])) for row in table.rows}
    for name, length in counted().items():
        assert told[name] == pytest.approx(length, abs=0.05), name
    whole = told["seam planned or welded"]
    for name, length, share in table.rows:
        percent = float(share.removesuffix("\N{NO-BREAK SPACE}%"))
        assert percent == pytest.approx(100 * told[name] / whole, abs=0.05), (name, length)


def test_what_is_open_is_what_the_record_leaves_open() -> None:
    """By hand: two seams not welded whole, a stand-in without a test, tests due, voids, joints."""
    told = dict(open_rows(Teller(week_closed(), EN)))
    facts = week()
    counts = counted()
    joints = {one["id"] for plan in facts if plan.kind == "plan" for seam in plan["seams"]
              for one in seam["t_joints"]}  # fmt: skip
    done = [one["number"] for one in facts if one.kind == "t_joint" and one["result"] == "none"]
    bare = counts["seam planned or welded"] - counts["welded"]
    assert told["not welded"] == f"{bare:.0f} ft"
    assert told["no test weld behind it"] == "60 ft"  # Ines on A-S008
    assert told["welded while a due test was put off"] == "180 ft"  # all of A-S004
    unwalked = counts["welded"] - counts["probed once cool"]
    assert told["not probed"] == f"{unwalked:.0f} ft"
    assert told["open defects in the whole job"] == "2"  # D3: own patch; D7: not repaired
    assert told["T-joints with something left to do"] == str(len(joints) - len(done))


@pytest.mark.parametrize("reader", [EN, ES])
def test_who_welded_stands_with_the_machines(reader: object) -> None:
    """Each welder once, with every machine run; a test alone makes nobody a welder."""
    told = pairs(cover(Teller(week_closed(), reader)))[0]  # type: ignore[arg-type]
    who = next(value for value in told.values() if value.startswith("Tom"))
    assert re.findall(r"\d", who) == ["3", "3", "7"]
    assert who.index("Tom") < who.index("Ines")


def test_the_head_of_the_chain_stands_whole() -> None:
    """All 64 characters and the number of entries: what somebody compares."""
    told = pairs(cover(Teller(week_closed(), EN)))[0]
    head = week_closed().head
    assert head is not None
    assert told["last hash of the chain"] == head.hash
    assert told["entries in the chain"] == str(len(week()))


def test_one_day_is_said_as_one_and_several_are_counted() -> None:
    """``1 days`` is no sentence."""
    first = [fact for fact in week() if fact.day <= "2026-05-04"]
    assert pairs(cover(teller(first)))[0]["welded on"] == "2026-05-04"
    many = pairs(cover(Teller(week_closed(), EN)))[0]["welded on"]
    assert many == "2026-05-04 – 2026-05-08: 5 days"


def test_a_job_that_only_has_a_name_says_nothing_it_does_not_know() -> None:
    """No seam, no share, nobody welded; the place is not known."""
    told = cover(teller([cast.JOB_FACT]))
    first = pairs(told)[0]
    assert first["place"] == "not known"
    assert first["welded by"] == "–"
    assert "welded on" not in first
    assert {row[2] for row in grids(told)["Seam"].rows} == {"–"}


def test_nothing_open_is_said_in_words() -> None:
    """An empty table could be taken for a forgotten one."""
    told = cover(teller([cast.JOB_FACT]))
    texts = [one.text for one in told.blocks if isinstance(one, Words)]
    assert any(text.startswith("Nothing is open") for text in texts)


def test_the_moment_is_on_the_roof_s_clock() -> None:
    """The record's own offset, whatever zone the reader of the paper lives in."""
    assert moment(Teller(week_closed(), EN)).endswith("-05:00")
