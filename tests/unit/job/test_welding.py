"""Runs against the rules: a test is due in time, with its reason, and late feet are known.

Limits are the defaults of ``default-rules.toml``, each with its source there: 30 min standing,
4 h since the pass, 10 F of air, 20 F of sheet, two failures in a row.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

import pytest
from tests import cast

from lapwright.job.rules import Clause, RuleBook, merge
from lapwright.job.welding import Standing, Welding
from lapwright.readings.rules import default_layer, read_rule_book
from lapwright.record.fact import Fact

FOOT = 0.3048
RULES = read_rule_book([])
MORNING = cast.morning()  # the last pass is weld 7 at 7:29, the set point stands from 7:40
DECISION = MORNING[-1]


def at(clock: str, day: str = cast.DAY) -> datetime:
    """A moment of the cast's day."""
    return datetime.fromisoformat(cast.time(clock, day=day))


def welding(*facts: Fact | Sequence[Fact], rules: RuleBook = RULES) -> Welding:
    """The cast's morning and more."""
    return Welding(cast.record(MORNING, *facts), rules)


def standing(
    *facts: Fact | Sequence[Fact], clock: str = "08:20", day: str = cast.DAY, **other: Any
) -> Standing:
    """How the cast's chain stands at a time of the day."""
    work = welding(*facts)
    chain = work.chains.of(cast.ran("A-S001", "0 ft", "1 ft", **other)[0])
    return work.standing(chain, at=at(clock, day))


def names(found: Standing) -> list[str]:
    """Names of the triggers that are due."""
    return [trigger.name for trigger in found.due]


def ran(start: int = 0, end: int = 100, clock: str = "08:00", **more: Any) -> list[Fact]:
    """A run on A-S001 that leans on the morning's set point; ten minutes long."""
    more = {"decision": DECISION} | more
    return cast.ran("A-S001", f"{start} ft", f"{end} ft", at=clock, **more)


def test_nothing_changed_nothing_is_due() -> None:
    """Half an hour after the pass, under the same sky: silence, and the feet since."""
    found = standing(ran(), clock="08:10")
    assert names(found) == []
    assert found.test_again is None
    assert found.passed is not None
    assert found.passed["number"] == "7"
    assert found.known.welded == pytest.approx(100 * FOOT)
    assert found.known.since_pass == 41 * 60


def test_every_change_of_the_sky_has_its_reason() -> None:
    """Sheet, air, wind and sun against what the last passing weld met."""
    cases = {
        "sheet_moved": {"sheet": "101 f measured"},
        "air_moved": {"ambient": "91 f measured"},
        "wind_changed": {"wind": "breezy"},
        "sun_changed": {"sun": "cloud"},
        "substrate_changed": {"substrate": "concrete"},
    }
    for name, change in cases.items():
        now = cast.fact("conditions", at="08:05", **change)
        assert names(standing(ran(), now, clock="08:09")) == [name]
    just = cast.fact("conditions", at="08:05", sheet="100 f measured", ambient="90 f measured")
    assert names(standing(ran(), just, clock="08:09")) == []


def test_rain_or_dew_since_the_pass_asks_for_a_test() -> None:
    """A lap found wet is enough, even where it is dry again now."""
    wet = cast.fact("conditions", at="08:03", dry=False)
    dry = cast.fact("conditions", at="08:06", dry=True)
    assert names(standing(ran(), wet, dry, clock="08:09")) == ["wet"]


@pytest.mark.parametrize("event", ["doubt", "restart", "power_cut", "realigned", "symptom"])
def test_what_the_crew_says_counts_at_once(event: str) -> None:
    """An event since the pass asks for a test, one before it does not, nor one elsewhere."""

    def said(clock: str, machine: Fact = cast.MACHINE) -> Fact:
        return cast.fact("event", at=clock, trigger=event, machine=machine, operator=cast.TOM)

    assert names(standing(ran(), said("08:05"), clock="08:09")) == [event]
    assert names(standing(ran(), said("07:00"), clock="08:09")) == []
    assert names(standing(ran(), said("08:05", cast.OTHER_MACHINE), clock="08:09")) == []


def test_lunch_is_seen_from_the_reason_of_a_stop() -> None:
    """A run that ended for lunch asks for a test after it, without anybody saying so again."""
    assert names(standing(ran(reason="lunch"), clock="08:20")) == ["lunch"]


def test_a_machine_that_stands_for_long_asks_for_a_test() -> None:
    """30 minutes from the end of a run: standing still, or until the next run began."""
    assert names(standing(ran(), clock="08:39")) == []
    assert names(standing(ran(), clock="08:40")) == ["long_stop"]
    assert names(standing(ran(), ran(100, 200, "08:40"), clock="08:50")) == ["long_stop"]
    assert names(standing(ran(), ran(100, 200, "08:39"), clock="08:49")) == []


def test_a_test_weld_ends_the_waiting() -> None:
    """After a new pass nothing of before counts: not the stop, not the sky, not the feet."""
    warm = cast.fact("conditions", at="09:00", sheet="110 f measured")
    passed = cast.welded(8, "840 f", "ff", at="09:05", conditions=warm)
    found = standing(ran(), warm, passed, clock="09:20")
    assert names(found) == []
    assert found.known.welded == 0.0


def test_four_hours_are_enough_without_a_run() -> None:
    """Time passes for the test weld, whatever the machine does."""
    assert "time_since_pass" not in names(standing(clock="11:28"))
    assert "time_since_pass" in names(standing(clock="11:29"))


def test_yesterdays_pass_is_no_pass_for_today() -> None:
    """A new day begins with a test, and says so."""
    found = standing(clock="07:00", day="2026-05-05")
    assert "shift_start" in names(found)
    assert found.test_again is not None


def test_another_operator_is_told_by_what_changed() -> None:
    """Ines takes over Tom's machine: the reason is the person, and it is due, not only asked."""
    found = standing(ran(), clock="08:15", operator=cast.INES)
    assert names(found) == ["operator_changed"]


def test_without_any_pass_that_alone_is_said() -> None:
    """A machine that never passed: nothing to compare with."""
    found = standing(clock="08:15", machine=cast.OTHER_MACHINE)
    assert names(found) == ["no_pass"]
    assert found.passed is None
    assert found.known.since_pass is None


def test_another_lot_of_the_same_sheet_is_a_notice() -> None:
    """The same kind, thickness and colour: watch it, no test is due."""
    lot = cast.fact("lot", at="08:01", number="L-7")
    pairing = cast.fact("pairing", at="08:02", upper=lot, lower=lot)
    found = standing(lot, pairing, ran(clock="08:03", pairing=pairing), clock="08:13")
    assert [(t.name, t.urgency) for t in found.due] == [("lot_changed", "notice")]
    assert found.test_again is None


def test_what_nobody_read_becomes_a_question() -> None:
    """Conditions without sheet, wind and sun are asked for in one line."""
    now = cast.fact("conditions", at="08:05", sheet=None, wind=None, sun=None)
    found = standing(ran(), now, clock="08:09")
    assert names(found) == ["not_known"]
    assert found.asks == ("wind", "sun", "sheet")


def test_a_failed_test_weld_halts_the_chain_until_one_passes() -> None:
    """A failed repeat is no trial of the search; the next pass ends it."""
    failed = cast.welded(8, "860 f", "cf", at="08:15", purpose="trigger")
    assert names(standing(ran(), failed, clock="08:30"))[:1] == ["failed_strip"]
    trial = cast.welded(8, "700 f", "cc", at="08:15", purpose="search")
    assert names(standing(ran(), trial, clock="08:30")) == []
    passed = cast.welded(9, "860 f", "ff", at="08:35")
    assert names(standing(ran(), failed, passed, clock="08:50")) == []


def test_two_failures_in_a_row_take_machine_and_operator_out() -> None:
    """A city's landfill liner quality plan: out after two, back after two passes in a row."""
    fails = [cast.welded(n, "860 f", "cc", at=f"09:0{n}") for n in (1, 2)]
    passes = [cast.welded(n, "860 f", "ff", at=f"09:1{n}") for n in (3, 4)]
    one = standing(fails[0], clock="09:30")
    two = standing(*fails, clock="09:30")
    back = standing(*fails, passes[0], clock="09:30")
    fit = standing(*fails, *passes, clock="09:30")
    out = [(each.is_machine_out, each.is_operator_out) for each in (one, two, back, fit)]
    assert out == [(False, False), (True, True), (True, True), (False, False)]
    other = standing(*fails, clock="09:30", operator=cast.INES)
    assert (other.is_machine_out, other.is_operator_out) == (True, False)


def test_a_failed_cut_halts_the_machine_that_welded_there() -> None:
    """The cut lies in Tom's run: machine 3 stops; machine 4 has nothing to do with it."""
    cut = cast.fact("cut", at="08:30", number="C1", seam="A-S001", station="50 ft")
    strip = cast.fact("strip", at="08:45", of=cut, number="1", pull="skin")
    assert names(standing(ran(), cut, strip, clock="08:35"))[:1] == ["failed_cut"]
    off = cast.fact("cut", at="08:30", number="C1", seam="A-S001", station="150 ft")
    strip = cast.fact("strip", at="08:45", of=off, number="1", pull="skin")
    assert "failed_cut" not in names(standing(ran(), off, strip, clock="08:35"))


def voids(*stations: int, kind: str = "edge_void") -> list[Fact]:
    """Voids found at these feet."""
    return [
        cast.fact("defect", at=f"08:3{n}", number=f"V{n}", seam="A-S001", station=f"{station} ft",
                  type=kind)
        for n, station in enumerate(stations)
    ]  # fmt: skip


def test_three_voids_within_a_hundred_feet_halt() -> None:
    """As the note of the rule says: 3 voids within 100 ft, and voids only."""
    long = ran(0, 400)
    assert "voids_close" in names(standing(long, voids(10, 60, 110), clock="08:36"))
    assert "voids_close" not in names(standing(long, voids(10, 60, 111), clock="08:36"))
    assert "voids_close" not in names(standing(long, voids(10, 60), clock="08:36"))
    wrinkles = voids(10, 60, 110, kind="wrinkle")
    assert "voids_close" not in names(standing(long, wrinkles, clock="08:36"))


def answered(trigger: str, answer: str, clock: str = "08:12", **more: Any) -> Fact:
    """The foreman's word on a trigger."""
    return cast.fact(
        "event", at=clock, trigger=trigger, answer=answer, machine=cast.MACHINE,
        operator=cast.TOM, by=cast.ROSA, reason="no_time", **more,
    )  # fmt: skip


def test_a_trigger_can_be_put_off_and_overruled_but_not_doubt() -> None:
    """Set aside it is no banner and stays visible; put off only until its time; doubt never."""
    warm = cast.fact("conditions", at="08:05", sheet="110 f measured")
    over = standing(ran(), warm, answered("sheet_moved", "overruled"), clock="08:20")
    assert names(over) == []
    assert [(t.name, fact["answer"]) for t, fact in over.set_aside] == [
        ("sheet_moved", "overruled")
    ]
    until = answered("sheet_moved", "put_off", until=cast.time("08:15"))
    assert names(standing(ran(), warm, until, clock="08:14")) == []
    assert names(standing(ran(), warm, until, clock="08:15")) == ["sheet_moved"]
    doubt = answered("doubt", "happened", clock="08:10")
    assert names(standing(ran(), doubt, answered("doubt", "overruled"))) == ["doubt"]


def test_what_comes_anew_is_due_anew() -> None:
    """A restart overruled at 8:12 and another at 8:15: the second one counts."""
    first, second = (answered("restart", "happened", clock=clock) for clock in ("08:11", "08:15"))
    over = answered("restart", "overruled")
    assert names(standing(ran(), first, over)) == []
    assert names(standing(ran(), first, over, second)) == ["restart"]


def test_speed_beyond_the_tested_ones_is_due() -> None:
    """A run at 12 ft/min on tests at 10 leans on nothing."""
    assert names(standing(ran(speed="12 ft_min"), clock="08:10")) == ["speed_beyond_tested"]
    fast = cast.welded(8, "900 f", "ff", at="07:50", speed="12 ft_min")
    assert names(standing(fast, ran(speed="11 ft_min"), clock="08:10")) == []


def test_a_low_chance_is_handed_on() -> None:
    """P(sound) comes from the window and is held against its rule."""
    work = welding(ran())
    chain = work.chains.of(DECISION)
    for p_sound, expected in ((0.89, ["p_sound_low"]), (0.91, [])):
        assert names(work.standing(chain, at=at("08:10"), p_sound=p_sound)) == expected


def test_each_machine_at_work_is_listed_the_newest_first() -> None:
    """One chain a machine, the one it works as now; yesterday's is not listed."""
    other = cast.ran("A-S002", "0 ft", "9 ft", at="09:00", machine=cast.OTHER_MACHINE)
    swap = ran(100, 120, "08:30", operator=cast.INES)
    chains = welding(ran(), other, swap).current(at=at("12:00"))
    assert [(chain.machine, chain.operator) for chain in chains] == [
        (cast.OTHER_MACHINE.id, cast.TOM.id),
        (cast.MACHINE.id, cast.INES.id),
    ]
    assert welding(ran()).current(at=at("12:00", "2026-05-05")) == ()


# --- looking back ---------------------------------------------------------------------------------


def late(*facts: Fact | Sequence[Fact]) -> list[tuple[str, tuple[str, ...], bool]]:
    """When, why and whether set aside, of every late stretch of every run."""
    return [
        (f"{each.since:%H:%M}", each.triggers, each.is_set_aside)
        for found in welding(*facts).late().values()
        for each in found
    ]


def test_feet_are_late_from_the_moment_a_test_was_due() -> None:
    """The sheet moved at 8:05 of a run from 8:00 to 8:10; before that nothing is late."""
    warm = cast.fact("conditions", at="08:05", sheet="110 f measured")
    assert late(ran()) == []
    assert late(ran(), warm) == [("08:05", ("sheet_moved",), False)]


def test_the_clock_makes_feet_late_in_the_middle_of_a_run() -> None:
    """Passed at 7:29, a run from 11:20 to 11:40: late from 11:29 on."""
    earlier = ran(0, 100, "11:00", until="11:10")
    found = late(ran(clock="08:00", until="10:58"), earlier, ran(100, 300, "11:20", until="11:40"))
    assert found == [("11:29", ("time_since_pass",), False)]


def test_a_whole_run_is_late_when_the_test_was_due_before_it() -> None:
    """Begun after 40 minutes of standing: late from its first foot."""
    assert late(ran(), ran(100, 200, "08:50")) == [("08:50", ("long_stop",), False)]


def test_feet_of_a_test_put_off_carry_that() -> None:
    """Overruled before the run: set aside; a further trigger in it: late in earnest."""
    warm = cast.fact("conditions", at="08:12", sheet="110 f measured")
    over = answered("sheet_moved", "overruled", clock="08:13")
    run = ran(100, 200, "08:15", until="08:35")
    assert late(ran(), warm, over, run) == [("08:15", ("sheet_moved",), True)]
    doubt = answered("doubt", "happened", clock="08:20")
    assert late(ran(), warm, over, run, doubt) == [
        ("08:15", ("sheet_moved",), True),
        ("08:20", ("doubt",), False),
    ]


def test_questions_make_no_foot_late() -> None:
    """What nobody read is asked for; it does not condemn what was welded."""
    unread = cast.fact("conditions", at="08:03", sheet=None, wind=None, sun=None)
    assert late(ran(), unread) == []


def test_a_run_without_any_pass_is_an_orphan_not_late() -> None:
    """Nothing ever stood behind it; calling it late as well says nothing more."""
    assert late(ran(operator=cast.INES)) == []


def test_looking_back_agrees_with_looking_then() -> None:
    """Late from the first minute at which the banner would have asked, and not before."""
    warm = cast.fact("conditions", at="08:04", sheet="110 f measured")
    work = welding(ran(), warm)
    chain = work.chains.of(DECISION)
    asks = [
        f"08:{minute:02d}"
        for minute in range(11)
        if work.standing(chain, at=at(f"08:{minute:02d}")).test_again is not None
    ]
    assert late(ran(), warm)[0][0] == asks[0] == "08:04"


def test_a_rule_that_is_off_makes_nothing_late() -> None:
    """A job that does not count hours is never late by the clock."""
    off = Clause("time_since_pass", float("inf"), False, "", "company", "1", "1", "QL")
    rules = merge([default_layer(), [off]])
    run = ran(clock="08:00", until="12:00")
    assert [each.triggers for each in _all_late(run, rules=RULES)] == [("time_since_pass",)]
    assert _all_late(run, rules=rules) == []


def _all_late(run: list[Fact], *, rules: RuleBook) -> list[Any]:
    return [each for found in welding(run, rules=rules).late().values() for each in found]
