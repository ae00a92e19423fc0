"""What in the strips does not fit, said and never dropped."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from lapwright.units import to_si
from lapwright.window.belief import Belief
from lapwright.window.doubts import doubts, odd_welds, unrepeated
from lapwright.window.prior import Earlier, Prior
from lapwright.window.strips import TestWeld

Build = Callable[..., TestWeld]
MAX_AIR = to_si(1148, "f")


def told(
    *welds: TestWeld, max_air: float = MAX_AIR, earlier: Earlier | None = None
) -> dict[str, object]:
    """Caution codes with the welds they name."""
    belief = Belief.before(Prior("tpo", earlier)).observe_all(welds)
    return {
        each.code: each.data.get("welds")
        for each in doubts(belief, welds, odd_welds(belief.prior, welds), max_air=max_air)
    }


def test_a_plain_morning_raises_no_doubt(ladder_welds: tuple[TestWeld, ...]) -> None:
    """The practice ladder fits itself; its last rung is just the end of the dial."""
    assert told(*ladder_welds) == {}


def test_contradictory_strips_are_named(weld: Build) -> None:
    """A hotter weld cold on two strips against a cooler one full on two: both are named."""
    welds = (weld(1, 700, "fff"), weld(2, 850, "ccc"), weld(3, 1000, "fff"))
    assert odd_welds(Prior(), welds) == ("1", "2")
    assert told(*welds)["odd_welds"] == "1, 2"


def test_heat_counts_not_the_dial(weld: Build) -> None:
    """850 F at twice the speed is cooler than 800 F: no contradiction."""
    welds = (weld(1, 800, "fff"), weld(2, 850, "ccc", speed=20))
    assert odd_welds(Prior(), welds) == ()
    assert odd_welds(Prior(), (welds[0], weld(2, 850, "ccc"))) == ("1", "2")


def test_one_strip_does_not_contradict(weld: Build) -> None:
    """One strip may be misread; two of a weld must be upside down."""
    assert odd_welds(Prior(), (weld(1, 740, "f"), weld(2, 750, "c"))) == ()


def test_a_sign_far_below_the_others_is_odd(weld: Build) -> None:
    """Signs on a weld that others make next to impossible are questioned, once."""
    quiet = [weld(n, f, "fff") for n, f in ((1, 850), (2, 950), (3, 1000), (4, 1050), (5, 1080))]
    assert odd_welds(Prior(), [*quiet, weld(6, 700, "pff", "signs")]) == ("6",)
    assert odd_welds(Prior(), [*quiet, weld(6, 700, "pff", "none")]) == ()


def test_a_single_weld_is_never_odd(weld: Build) -> None:
    """Against nothing but a weak belief no weld is questioned."""
    assert odd_welds(Prior(), [weld(1, 1100, "ccc", "none")]) == ()


@pytest.mark.parametrize(
    ("pulls", "code"), [("fsf", "strip_split"), ("fbf", "strip_break"), ("kff", "strip_skin")]
)
def test_strange_strips_are_told(weld: Build, pulls: str, code: str) -> None:
    """Split, broken and skin-bonded strips each have their line, naming the weld."""
    assert told(weld("4", 800, pulls))[code] == "4"
    assert code not in told(weld("4", 800, "fff"))


def test_not_looked_is_told_by_weld(weld: Build) -> None:
    """Only welds that nobody looked at at all are named."""
    welds = (weld(1, 700, "cc", None), weld(2, 800, "ff", ["none", None]), weld(3, 850, "ff", None))
    assert told(*welds)["heat_not_looked"] == "1, 3"


def test_air_beyond_the_machine_is_told(weld: Build) -> None:
    """A setting above what the machine reaches is named; the limit itself is not above."""
    weak = to_si(900, "f")
    assert told(weld(1, 950, "fff"), max_air=weak)["air_not_reached"] == "1"
    assert "air_not_reached" not in told(weld(1, 900, "fff"), max_air=weak)


def test_a_very_low_setting_may_be_celsius(weld: Build) -> None:
    """Below 500 F the setting was likely meant in C."""
    assert told(weld(1, 450, "ccc"))["air_very_low"] == "1"
    assert "air_very_low" not in told(weld(1, 510, "ccc"))


def test_an_earlier_day_that_does_not_fit_is_told(weld: Build) -> None:
    """Yesterday 300 F too low: its share is gone and the crew hears it."""
    low = Earlier(to_si(500, "f"), 5.0, 180.0, 10.0)
    right = Earlier(to_si(710, "f"), 5.0, 180.0, 10.0)
    welds = (weld(1, 700, "ccc"), weld(2, 800, "fff"))
    assert "earlier_does_not_fit" in told(*welds, earlier=low)
    assert "earlier_does_not_fit" not in told(*welds, earlier=right)
    assert "earlier_does_not_fit" not in told(*welds)


def test_welds_that_differ_are_told(weld: Build) -> None:
    """Alike within, unlike between: more welds are needed, not more strips."""
    near = (700, 710, 720, 730)
    differ = [weld(n, f, "fff" if n % 2 else "ccc") for n, f in enumerate(near)]
    assert "welds_differ" in told(*differ)
    assert "welds_differ" not in told(*(weld(n, f, "fpc") for n, f in enumerate(near)))
    assert "welds_differ" not in told(weld(1, 700, "fff"))


def test_an_odd_weld_waits_for_its_repeat(weld: Build) -> None:
    """A hotter weld that opened cold is to be repeated; a weld at about its heat does that."""
    cool, hot = weld(1, 620, "fff"), weld(2, 900, "ccc")
    odd = odd_welds(Prior(), (cool, hot))
    assert odd == ("1", "2")
    assert unrepeated((cool, hot), odd) == cool
    assert unrepeated((cool, hot, weld(3, 630, "ccc")), odd) == hot
    assert unrepeated((cool, hot, weld(3, 630, "ccc"), weld(4, 900, "fff")), odd) is None
    assert unrepeated((cool, hot), ()) is None
