"""The window that common practice would read from its own ladder of test welds."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lapwright.job.morning import find_window
from lapwright.units import from_si
from lapwright.window.answer import Question
from lapwright.window.strips import TestWeld

# A ladder 100 F apart at 80 F sheet and 10 ft/min: 600 F cold, 700 F in between, 800 to 1000 F
# full and quiet, 1148 F with signs. Common practice, no source; that 1000 F is a usual first trial
# and 1148 F (620 C, the end of the dial) was judged too hot is read in a trade blog on a roof
# quality protocol. Claimed: bottom within half a rung (50 F) of 700 F, top between the last quiet
# and the signed rung, set point a rung or more from both. Reached: 711 F, 1068 F, 880 F.


def test_window_of_the_practice_ladder(ladder_welds: tuple[TestWeld, ...]) -> None:
    """Bottom near 700 F, sound to about 1000 F, set point well between, certified."""
    answer = find_window(Question(ladder_welds))
    assert answer.bottom.mid is not None
    assert answer.top.mid is not None
    assert answer.set_point is not None
    bottom, top = from_si(answer.bottom.mid, "f"), from_si(answer.top.mid, "f")
    assert bottom == pytest.approx(700, abs=50)
    assert 1000 < top < 1148
    assert bottom + 100 < from_si(answer.set_point.air, "f") < top - 100
    assert (answer.verdict, answer.certified) == ("certified", True)


def test_the_ladder_without_a_look_finds_no_top(ladder_welds: tuple[TestWeld, ...]) -> None:
    """The same pulls with nobody looking for heat: bottom found, top not, never certified."""
    blind = tuple(
        replace(weld, strips=tuple(replace(strip, overheat=None) for strip in weld.strips))
        for weld in ladder_welds
    )
    seen, unseen = find_window(Question(ladder_welds)), find_window(Question(blind))
    assert unseen.verdict == "top_unknown"
    assert (unseen.top.low, unseen.top.mid, unseen.top.high) == (None, None, None)
    assert unseen.bottom.mid == pytest.approx(seen.bottom.mid, abs=5)
