"""The record's test welds as the question of the window: what counts, and as what."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

import pytest
from tests import cast

from lapwright.errors import OutOfRange
from lapwright.job.morning import find_window
from lapwright.job.testing import Asked, ask
from lapwright.proof.chains import Chains
from lapwright.readings.rules import read_rule_book
from lapwright.record.fact import Fact
from lapwright.units import to_si
from lapwright.window.strips import TestWeld

RULES = read_rule_book([])


def asked(*facts: Fact | Sequence[Fact], at: str = "12:00", **other: Fact) -> Asked:
    """The question of the cast's chain at a time of its day."""
    record = cast.record(cast.SETUP, *facts)
    chain = Chains(record).of(cast.ran("A-S001", "0 ft", "1 ft", **other)[0])
    return ask(record, chain, at=datetime.fromisoformat(cast.time(at)), rules=RULES)


def test_the_practice_ladder_gives_the_practice_question(
    ladder_welds: tuple[TestWeld, ...],
) -> None:
    """The cast's morning asks the same of the window as the ladder typed by hand."""
    found = asked(cast.morning())
    welds = found.question.welds
    assert [weld.number for weld in welds] == ["1", "2", "3", "4", "5", "6", "7"]
    for weld, typed in zip(welds, ladder_welds, strict=False):
        assert (weld.air, weld.speed, weld.sheet) == pytest.approx(
            (typed.air, typed.speed, typed.sheet)
        )
        assert weld.bond_counts == typed.bond_counts
        assert weld.heat_counts == typed.heat_counts
    assert find_window(found.question).verdict == "certified"
    assert found.cautions == ()


def test_set_up_states_the_rest_of_the_question() -> None:
    """Machine, sheet and the latest conditions come from their facts."""
    later = cast.fact("conditions", at="11:00", ambient="31 c measured", sheet="45 c measured")
    question = asked(later).question
    assert (question.min_air, question.max_air) == pytest.approx(
        (to_si(500, "f"), to_si(1148, "f"))
    )
    assert (question.ambient, question.sheet) == pytest.approx((304.15, 318.15))
    assert (question.membrane, question.thickness) == ("tpo", pytest.approx(to_si(60, "mil")))
    assert asked(later, at="10:00").question.sheet == pytest.approx(to_si(80, "f"))


def test_the_machines_newest_fact_states_its_limits() -> None:
    """A machine recorded anew with another hottest air is the same machine, hotter."""
    again = cast.fact("machine", at="08:00", number="3", hottest_air="1000 f")
    assert asked(again).question.max_air == pytest.approx(to_si(1000, "f"))


def heats(weld: list[Fact]) -> list[str | None]:
    """Heat signs of the strips of one weld."""
    return [strip.overheat for strip in asked(weld).question.welds[0].strips]


def test_heat_signs_stand_at_every_strip_of_the_weld() -> None:
    """Seen, not seen, not looked: the same three words as on the paper card."""
    assert heats(cast.welded(1, "860 f", "ff", heat="smoke")) == ["signs", "signs"]
    assert heats(cast.welded(1, "860 f", "ff")) == ["none", "none"]
    assert heats(cast.welded(1, "860 f", "ff", heat=None)) == [None, None]
    assert heats(cast.welded(1, "860 f", "ff", corner="grey_core")) == ["signs", "signs"]


def test_invalid_strips_are_marked_and_say_nothing() -> None:
    """A strip that slipped stays visible in the question and counts for no side."""
    (weld,) = asked(cast.welded(1, "860 f", "fx")).question.welds
    assert [strip.pull for strip in weld.strips] == ["full", "invalid"]
    assert weld.bond_counts == (0, 0, 1)


def test_a_weld_without_strips_waits() -> None:
    """Welded and not yet pulled: it is named, and tells the window nothing."""
    welds = cast.welded(1, "860 f", "ff"), cast.welded(2, "900 f", "", at="07:20")
    found = asked(*welds)
    assert [weld.number for weld in found.question.welds] == ["1"]
    assert found.waiting == (welds[1][0].id,)
    assert found.test_welds == {"1": welds[0][0].id}


@pytest.mark.parametrize(
    "change",
    [
        cast.ran("A-S001", "0 ft", "9 ft", at="08:00", operator=cast.INES),
        cast.ran("A-S001", "0 ft", "9 ft", at="08:00", pairing=cast.OTHER_PAIRING),
        cast.welded("x", "860 f", "ff", at="08:00", power_setup=cast.OTHER_POWER),
    ],
    ids=["operator", "pairing", "power"],
)
def test_welds_count_from_the_last_change_of_the_chain(change: list[Fact]) -> None:
    """Another operator, sheet or cord in between: what was welded before counts no more."""
    before, after = cast.welded(1, "700 f", "cc"), cast.welded(2, "860 f", "ff", at="09:00")
    assert [w.number for w in asked(before, change, after).question.welds] == ["2"]
    assert [w.number for w in asked(before, after).question.welds] == ["1", "2"]


def test_another_machine_changes_nothing_here() -> None:
    """What machine 4 does in between is no change of machine 3."""
    other = cast.ran("A-S001", "0 ft", "9 ft", at="08:00", machine=cast.OTHER_MACHINE)
    welds = cast.welded(1, "700 f", "cc"), cast.welded(2, "860 f", "ff", at="09:00")
    assert len(asked(welds[0], other, welds[1]).question.welds) == 2


def test_another_nozzle_starts_anew() -> None:
    """A narrower nozzle on the machine: welds of the wide one count no more."""
    narrow = cast.fact("nozzle_setup", at="08:00", machine=cast.MACHINE, nozzle_width="40 mm")
    before = cast.welded(1, "700 f", "cc")
    after = cast.welded(2, "860 f", "ff", at="09:00", nozzle=narrow)
    assert [w.number for w in asked(before, narrow, after).question.welds] == ["2"]
    assert [w.number for w in asked(before, narrow).question.welds] == []


def test_yesterday_and_later_do_not_count() -> None:
    """Only welds of the roof's day, up to the moment asked about."""
    yesterday = cast.welded(1, "860 f", "ff", day="2026-05-03")
    evening = cast.welded(2, "860 f", "ff", at="15:00")
    assert asked(yesterday, evening).question.welds == ()
    assert [w.number for w in asked(evening, at="16:00").question.welds] == ["2"]


def test_the_day_is_the_roofs_not_the_servers() -> None:
    """At 20:30 on the roof a server in the far east already writes tomorrow."""
    record = cast.record(cast.SETUP, cast.welded(1, "860 f", "ff"))
    chain = Chains(record).of(cast.ran("A-S001", "0 ft", "1 ft")[0])
    moment = datetime.fromisoformat("2026-05-05T10:30:00+09:00")
    assert len(ask(record, chain, at=moment, rules=RULES).question.welds) == 1


def codes(**body: Any) -> tuple[int, list[str]]:
    """How many welds count of one with these readings, and the cautions."""
    found = asked(cast.welded("7", **{"air": "860 f", "pulls": "ff"} | body))
    assert all(caution.data == {"welds": "7"} for caution in found.cautions)
    return len(found.question.welds), [caution.code for caution in found.cautions]


def test_what_no_kelvin_is_known_of_is_left_out_with_a_word() -> None:
    """A dial mark, missing or dial conditions, a reading that no roof has: never a guess."""
    dial = cast.fact("conditions", at="07:01", ambient="3 dial")
    assert codes(air="6 dial") == (0, ["weld_on_dial"])
    assert codes(speed="4 dial") == (0, ["weld_on_dial"])
    assert codes(conditions=dial) == (0, ["weld_without_conditions"])
    assert codes(air="860 c") == (0, ["weld_mistyped"])
    assert codes(measured_air="1000 c measured") == (0, ["weld_mistyped"])
    assert codes() == (1, [])


def test_what_was_measured_wins() -> None:
    """Measured air stands beside the set one, measured speed in its place."""
    measured = {"measured_air": "820 f measured", "measured_speed": "9 ft_min measured"}
    (weld,) = asked(cast.welded(1, "860 f", "ff", **measured)).question.welds
    assert (weld.air, weld.true_air) == pytest.approx((to_si(860, "f"), to_si(820, "f")))
    assert weld.speed == pytest.approx(to_si(9, "ft_min"))
    (weld,) = asked(cast.welded(1, "6 dial", "ff", speed="4 dial", **measured)).question.welds
    assert weld.true_air == pytest.approx(to_si(820, "f"))


def test_a_sheet_nobody_measured_counts_as_the_air_and_says_so() -> None:
    """As in the file of strips: the sheet is then taken for as warm as the air."""
    cool = cast.fact("conditions", at="07:01", ambient="70 f measured", sheet=None)
    found = asked(cool, cast.welded("7", "860 f", "ff", conditions=cool))
    assert found.question.welds[0].sheet == pytest.approx(to_si(70, "f"))
    assert [caution.code for caution in found.cautions] == ["weld_sheet_as_air"]


def test_a_number_written_twice_stays_two_welds() -> None:
    """Two welds marked 1 are both there, told apart, each with its own fact."""
    welds = cast.welded(1, "800 f", "ff"), cast.welded(1, "860 f", "ff", at="07:20")
    found = asked(*welds)
    assert found.test_welds == {"1": welds[0][0].id, "1/2": welds[1][0].id}


def test_a_machine_that_cannot_exist_is_refused() -> None:
    """Coolest above hottest air is a mistake to put right, no window to look for."""
    wrong = cast.fact("machine", at="08:00", number="3", hottest_air="400 f", coolest_air="500 f")
    with pytest.raises(OutOfRange):
        asked(wrong)
