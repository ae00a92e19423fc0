"""The invented week of the examples, day by day: a small roof and everything that can happen."""

from __future__ import annotations

import json
from typing import Any

from tests.cast import GUN, INES, MACHINE, ROSA, SAM, TOM
from tests.weekcrew import (
    DAYS,
    LONGEST,
    SHEETS,
    Week,
    begin,
    cut,
    decide,
    mend,
    morning,
    probe,
    read_sky,
    run,
    set_up,
    sign,
    void,
    weld_test,
)

from lapwright.record.fact import Fact, si
from lapwright.units import from_si
from lapwright.window.prior import Earlier


def weld_seam(week: Week, seam: str, end: float, decision: Fact, chain: dict[str, Any]) -> None:
    """A whole seam in runs."""
    start = 0.0
    while start < end:
        stop = min(start + LONGEST, end)
        run(week, seam, start, stop, decision, chain, reason="seam_end" if stop == end else "track")
        start = stop


def start_day(week: Week, number: int, lot: dict[str, Fact]) -> tuple[dict[str, Any], Fact, Fact]:
    """Morning of a day: set-up, sky, test welds, set point. Gives chain, nozzle, set point."""
    week.day = DAYS[number]
    week.at("06:00")
    nozzle, power = set_up(week)
    chain = {"machine": MACHINE, "operator": TOM, "power_setup": power, "pairing": lot["pairing"]}
    sky = read_sky(week, SHEETS["06:00"])
    week.wait(5)
    _, decision = morning(week, chain, sky, nozzle)
    week.wait(2)
    return chain, nozzle, decision


def retest(
    week: Week, clock: str, chain: dict[str, Any], nozzle: Fact, decision: Fact, **sky: Any
) -> Fact:
    """New conditions, one test weld at the set point, the set point anew."""
    week.at(clock)
    read = read_sky(week, SHEETS.get(clock, 100.0), **sky)
    week.wait(1)
    air = from_si(si(decision["air"]) or 700.0, "f")
    weld = weld_test(week, chain, read, nozzle, air, "trigger")
    again = decide(week, chain, [weld])
    week.wait(2)
    return again


def monday(week: Week, lot: dict[str, Fact]) -> None:
    """As it should be: tested, welded, probed, two voids closed."""
    chain, nozzle, decision = start_day(week, 0, lot)
    decision = retest(week, "08:30", chain, nozzle, decision)
    weld_seam(week, "A-S001", 180, decision, chain)
    week.at("09:50")
    probe(week, "A-S001", 0, 180, voids=(14, 131))
    decision = retest(week, "10:30", chain, nozzle, decision)
    weld_seam(week, "A-S002", 180, decision, chain)
    week.at("12:30")
    probe(week, "A-S002", 0, 180)
    sign(week)


def tuesday(week: Week, lot: dict[str, Fact]) -> None:
    """The foreman puts a due test off; a hand welder probes her own patch."""
    chain, nozzle, decision = start_day(week, 1, lot)
    decision = retest(week, "08:30", chain, nozzle, decision)
    run(week, "A-S003", 0, 65, decision, chain)
    run(week, "A-S003", 65, 130, decision, chain)
    run(week, "A-S003", 136, 180, decision, chain, reason="lunch")
    week.at("09:30")
    read_sky(week, SHEETS["10:30"])
    for trigger in ("sheet_moved", "lunch"):
        week.add("event", minutes=1, trigger=trigger, machine=MACHINE, operator=TOM,
                 answer="overruled", reason="no_time", by=ROSA)  # fmt: skip
    week.wait(2)
    weld_seam(week, "A-S004", 180, decision, chain)
    week.at("12:00")
    probe(week, "A-S003", 0, 180)
    probe(week, "A-S004", 0, 180)
    mend(week, void(week, "A-S004", 77), prober=INES)
    sign(week)


def wednesday(week: Week, lot: dict[str, Fact]) -> None:
    """A second tool on the generator: cold welds while it ran, found, bounded, covered."""
    chain, nozzle, decision = start_day(week, 2, lot)
    decision = retest(week, "08:30", chain, nozzle, decision)
    weld_seam(week, "A-S005", 180, decision, chain)
    week.at("09:45")
    set_up(week, source="1", under="204")  # nobody tested again
    week.wait(2)
    weld_seam(week, "A-S006", 90, decision, chain)
    week.at("10:30")
    read = read_sky(week, SHEETS["10:30"])
    week.add("power_setup", minutes=1, source="1", dedicated=True, gauge="10 AWG",
             cord_length="100 ft", rated_power="10 kw", volts_open="231 v measured",
             volts="226 v measured", by=ROSA)  # fmt: skip
    week.wait(2)
    air = from_si(si(decision["air"]) or 700.0, "f")
    weld_test(week, chain, read, nozzle, air, "trigger")
    again = weld_test(week, chain, read, nozzle, air, "repeat")
    decision = decide(week, chain, [again])
    week.wait(3)
    run(week, "A-S006", 90, 180, decision, chain, reason="seam_end")
    week.at("12:20")
    for number, seam, station, pull in (
        ("C1", "A-S006", 80, "cold"), ("C2", "A-S006", 20, "skin"), ("C3", "A-S005", 179, "full"),
        ("C4", "A-S006", 95, "full"),
    ):  # fmt: skip
        cut(week, number, seam, station, pull)
    bad = void(week, "A-S006", 0, type="cold_weld", found_by="cut", length="90 ft", by=SAM)
    mend(week, bad, method="cover_strip", size="8 in")
    week.wait(60)
    probe(week, "A-S005", 0, 180)
    probe(week, "A-S006", 0, 180)
    sign(week)


def thursday(week: Week, lot: dict[str, Fact]) -> None:
    """A stand-in welds without a test; a cut fails and is bounded on one side only."""
    chain, nozzle, decision = start_day(week, 3, lot)
    decision = retest(week, "08:30", chain, nozzle, decision)
    weld_seam(week, "A-S007", 110, decision, chain)
    run(week, "A-S008", 0, 60, None, chain | {"operator": INES}, reason="other")
    run(week, "A-S008", 60, 110, decision, chain, reason="seam_end")
    decision = retest(week, "10:30", chain, nozzle, decision, wind="breezy")
    weld_seam(week, "A-S009", 110, decision, chain)
    week.at("12:10")
    probe(week, "A-S007", 0, 110, voids=(41,))
    probe(week, "A-S008", 0, 110)
    cut(week, "C5", "A-S009", 60, "partial")
    cut(week, "C6", "A-S009", 50, "full")
    sign(week)


def friday(week: Week, lot: dict[str, Fact]) -> None:
    """The rest by machine, end laps by hand, T-joints, and what the inspector lists."""
    chain, nozzle, decision = start_day(week, 4, lot)
    decision = retest(week, "08:30", chain, nozzle, decision)
    for seam in ("A-S010", "A-S011"):
        weld_seam(week, seam, 110, decision, chain)
    by_hand = chain | {"machine": GUN, "operator": INES}
    sky = read_sky(week, SHEETS["10:30"])
    week.wait(1)
    dial = {"air": "6 dial", "speed": "2 ft_min measured", "measured_air": "880 f measured"}
    weld = weld_test(week, by_hand, sky, None, 880, "detail", typed=dial)
    asked = week.add("decision", minutes=1, test_welds=[weld], question={}, answer={},
                     worked_out="phone", model="none", accepted=True, reason="experience", by=ROSA,
                     air="6 dial", speed="2 ft_min", **by_hand)  # fmt: skip
    week.wait(2)
    for row in range(1, 7):
        run(week, f"A-E{row:03d}-1", 0, 10, asked, by_hand, reason="seam_end")
        week.add("t_joint", number=f"A-T-S{row:03d}-100", creased=True, patched=True,
                 patch_size="4.5 in", result="none" if row < 5 else None, by=INES)  # fmt: skip
    week.wait(30)
    probe(week, "A-S010", 0, 110)
    probe(week, "A-S011", 0, 70)
    for row in range(1, 5):
        probe(week, f"A-E{row:03d}-1", 0, 10)
    seen = {"found_by": "inspector", "by": SAM}
    mend(week, void(week, "A-S001", 62, type="wrinkle", **seen))
    void(week, "A-S002", 118, type="scratch", **seen)
    sign(week)


def week_facts() -> list[Fact]:
    """All facts of the week, in the order they were entered."""
    week = Week()
    lot = begin(week)
    for number, day in enumerate((monday, tuesday, wednesday, thursday, friday)):
        day(week, lot)
        if number == 0:  # later mornings start from what Monday believed
            first = next(one for one in week.facts if one.kind == "decision")
            week.earlier = Earlier(**first["answer"]["earlier"])
    return week.facts


def week_lines() -> str:
    """The file of the examples: one fact a line."""
    return "".join(
        json.dumps(one.plain(), ensure_ascii=False, sort_keys=True) + "\n" for one in week_facts()
    )
