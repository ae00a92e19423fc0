"""Bare scrim to the width of the band, its evenness and the error."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from lapwright.errors import LapwrightError
from lapwright.job.band import SURE, Band, Row, Run, Sight, check_print, judge_band

SIGHT = Sight(residue=3e-5, blur=1.5e-4, distance=0.25, markers=8)
MM = 0.001


def rows(*places: Sequence[tuple[float, float]]) -> list[Row]:
    """Rows 1 mm apart, with runs given in mm."""
    return [
        Row(n * MM, tuple(Run(start * MM, end * MM) for start, end in runs))
        for n, runs in enumerate(places)
    ]


def judged(*places: Sequence[tuple[float, float]], sight: Sight = SIGHT) -> Band:
    """The band of a checked card."""
    return judge_band(rows(*places), sight=sight, checked=True)


def test_widths_are_of_the_longest_run() -> None:
    """Narrowest, middle and widest of the longest unbroken scrim at each place."""
    band = judged(*[[(50, 88)]] * 5, *[[(50, 90)]] * 10, *[[(50, 91)]] * 4)
    assert (band.smallest, band.median, band.largest) == pytest.approx((0.038, 0.040, 0.041))
    assert (band.evenness, band.share, band.cautions) == ("full", 1.0, ())


def test_film_within_the_band_makes_stripes() -> None:
    """Where film splits the band, only the longer part counts."""
    band = judged(*[[(50, 70), (75, 90)]] * 20)
    assert band.evenness == "stripes"
    assert band.median == pytest.approx(0.020)


def test_a_side_without_scrim_is_told() -> None:
    """Scrim that is missing on one side has width zero there and shows in the share."""
    band = judged(*[[(50, 90)]] * 12, *[[]] * 8)
    assert (band.evenness, band.smallest, band.share) == ("one_edge", 0.0, pytest.approx(0.6))
    assert band.median == pytest.approx(0.040)


def test_gaps_across_are_no_edge() -> None:
    """Film that comes and goes across the strip is a stripe too."""
    assert judged(*([[(50, 90)]] * 4 + [[]] * 2) * 3).evenness == "stripes"


def test_specks_do_not_belong() -> None:
    """Short specks and scrim far from the band, such as writing, change nothing."""
    plain = judged(*[[(50, 90)]] * 20)
    assert judged(*[[(20, 32), (50, 90), (92, 94)]] * 20) == plain


def test_no_scrim_is_said_with_care() -> None:
    """Nothing seen is no proof of a cold strip."""
    band = judged(*[[]] * 20)
    assert (band.smallest, band.median, band.evenness) == (0, 0, None)
    assert [caution.code for caution in band.cautions] == ["band_none"]
    assert judge_band((), sight=SIGHT, checked=True).evenness is None


def test_little_scrim_is_refused() -> None:
    """Scrim on a third of the width may be dirt: no width is given."""
    with pytest.raises(LapwrightError) as caught:
        judged(*[[(50, 90)]] * 6, *[[]] * 14)
    assert caught.value.code == "band_unclear"


def test_wandering_ends_are_refused() -> None:
    """Ends that lie all over the strip are writing or dirt, no band."""
    with pytest.raises(LapwrightError) as caught:
        judged(*[[(50 + 9 * (n * 7 % 5), 90)] for n in range(20)])
    assert caught.value.code == "band_unclear"


@pytest.mark.parametrize(
    "worse",
    [{"blur": 6e-4}, {"residue": 4e-4}, {"distance": 0.04}],
    ids=lambda one: next(iter(one)),
)
def test_error_grows_with_what_the_photo_lacks(worse: dict[str, float]) -> None:
    """Blur, a card that fits badly and a near camera each widen the error."""
    places = [[(50, 90)]] * 20
    assert (
        judged(*places, sight=replace(SIGHT, **worse)).median_error > judged(*places).median_error
    )


def test_error_holds_the_tolerance_of_the_print() -> None:
    """A card may be off by 0.5 %, so a longer band has the larger error."""
    short, long = judged(*[[(50, 60)]] * 20), judged(*[[(50, 150)]] * 20)
    assert SURE * long.median_error > 0.005 * 0.100
    assert long.median_error > short.median_error


def test_ragged_band_has_the_larger_error() -> None:
    """Where places differ, the middle of them is known less well."""
    ragged = judged(*[[(50, 90 + 1.5 * (n * 7 % 5))] for n in range(20)])
    assert ragged.median_error > judged(*[[(50, 90)]] * 20).median_error


def test_a_slanted_end_is_no_raggedness() -> None:
    """A band that widens evenly from side to side is not ragged."""
    slanted = judged(*[[(50, 90 + 0.2 * n)] for n in range(20)])
    assert slanted.median_error == pytest.approx(
        judged(*[[(50, 91.9)]] * 20).median_error, rel=0.01
    )


def test_unchecked_card_is_a_caution() -> None:
    """Nobody measured the card: the width holds only if the print does."""
    band = judge_band(rows(*[[(50, 90)]] * 20), sight=SIGHT, checked=False)
    assert [caution.code for caution in band.cautions] == ["band_print_unchecked"]


@pytest.mark.parametrize("share", [0.995, 1.0, 1.005, None])
def test_card_within_its_tolerance_passes(share: float | None) -> None:
    """Half a millimetre of a hundred is let pass."""
    check_print(share)


@pytest.mark.parametrize("share", [0.97, 0.994, 1.006, float("nan")])
def test_card_beyond_its_tolerance_is_refused(share: float) -> None:
    """A card printed to fit the page measures nothing."""
    with pytest.raises(LapwrightError) as caught:
        check_print(share)
    assert caught.value.code == "band_print"
