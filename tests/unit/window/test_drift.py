"""How the hours ahead may move, as weighted cases."""

from __future__ import annotations

import numpy as np
import pytest

from lapwright.errors import OutOfRange
from lapwright.window.drift import Drift, cases, ordinary_shift


def test_nothing_stated_leaves_the_ordinary_half_day() -> None:
    """Sheet, wind and volts stay as now; only what nobody measures spreads, mean zero."""
    plain = cases(Drift())
    assert not plain.sheet.any()
    assert not plain.loss.any()
    assert plain.volts_ratio == 1
    assert plain.weight.sum() == pytest.approx(1)
    assert plain.weight @ plain.shift == pytest.approx(0, abs=1e-9)


def test_ordinary_spread_is_an_even_plus_a_normal() -> None:
    """The variance is that of an even 18.3 F swing plus a normal 12 F; assumed figures."""
    variance = (1.22 * 15 / 1.8) ** 2 / 3 + (12 / 1.8) ** 2
    assert np.var(ordinary_shift(101)) == pytest.approx(variance, rel=0.03)
    shift = ordinary_shift()
    assert np.all(np.diff(shift) > 0)
    assert shift == pytest.approx(-shift[::-1], abs=1e-9)


def test_a_stated_sheet_spreads_evenly_between_its_ends() -> None:
    """Mean in the middle, spread of an even law, never outside what was stated."""
    found = cases(Drift(sheet_low=-12.0, sheet_high=4.0))
    assert found.weight @ found.sheet == pytest.approx(-4.0)
    assert found.sheet.min() > -12
    assert found.sheet.max() < 4
    assert np.sqrt(found.weight @ (found.sheet + 4) ** 2) == pytest.approx(16 / 12**0.5, rel=0.03)


def test_a_certain_sheet_is_one_value() -> None:
    """Low and high alike: the sheet moves by just that."""
    assert set(cases(Drift(sheet_low=-5.0, sheet_high=-5.0)).sheet) == {-5.0}


@pytest.mark.parametrize("words", [1, 3])
def test_more_wind_takes_heat_and_less_gives_it_back(words: int) -> None:
    """Losses scale with the words of wind and turn their sign with it; 4 % a word, assumed."""
    rising, falling = cases(Drift(wind_words=words)), cases(Drift(wind_words=-words))
    assert rising.loss.min() > 0
    assert rising.loss == pytest.approx(-falling.loss)
    mean = 0.04 * words * (2 / np.pi) ** 0.5  # of a half-normal
    assert rising.weight @ rising.loss == pytest.approx(mean, rel=0.05)


def test_volts_pass_through() -> None:
    """The ratio of volts is the same in every case."""
    assert cases(Drift(volts_ratio=0.93)).volts_ratio == 0.93


def test_every_case_is_a_combination() -> None:
    """Sheet, wind and the rest are independent: their products average as products."""
    found = cases(Drift(sheet_low=-10.0, sheet_high=0.0, wind_words=2))
    joint = found.weight @ (found.sheet * found.loss)
    assert joint == pytest.approx((found.weight @ found.sheet) * (found.weight @ found.loss))
    assert len(found.weight) == 5 * 5 * 9


@pytest.mark.parametrize(
    ("stated", "name"),
    [
        ({"sheet_low": 1.0}, "sheet_high"),
        ({"wind_words": 4}, "wind_words"),
        ({"wind_words": -4}, "wind_words"),
        ({"volts_ratio": 0.0}, "volts_ratio"),
    ],
)
def test_an_impossible_drift_is_refused(stated: dict[str, float], name: str) -> None:
    """Ends in the wrong order, wind beyond its words, volts not above zero."""
    with pytest.raises(OutOfRange) as caught:
        Drift(**stated)  # type: ignore[arg-type]
    assert caught.value.data["name"] == name
