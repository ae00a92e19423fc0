"""Rendered photos to bands: true within what is said, or refused."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from tests.stripphoto import Shot, drawn, photo, strip

from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.job.band import SURE, Band
from lapwright.readings.photo.measure import Measured, check_share, measure_band, read_band

SMALL = (1632, 1224)
PLAIN = Shot(pixels=SMALL)
DRAWN = 6  # photos; with 95 of 100 right, fewer than 5 of 6 come once in 30 times


@cache
def measured(shot: Shot) -> Measured:
    """What is measured on the photo."""
    return measure_band(photo(shot), name="a.jpg", check=1.0)


def refused(**changed: Any) -> str:
    """The code of the refusal."""
    with pytest.raises(FileUnreadable) as caught:
        measure_band(photo(replace(PLAIN, **changed)), name="a.jpg")
    assert caught.value.data["file"] == "a.jpg"
    return caught.value.code


def off(shot: Shot) -> tuple[float, float]:
    """How far middle and narrowest are off, in what is said of them."""
    return _off(measured(shot).band, shot)


def _off(band: Band, shot: Shot) -> tuple[float, float]:
    _, truth = strip(shot)
    return (
        (1000 * band.median - truth.median) / (1000 * SURE * band.median_error),
        (1000 * band.smallest - truth.smallest) / (1000 * SURE * band.smallest_error),
    )


def test_errors_cover_what_is_drawn_at_random() -> None:
    """Any sheet, tilt, turn, blur, noise, shadow, lens, JPEG: most photos keep within the ±."""
    shots = [drawn(500 + n, pixels=SMALL, blur=0.7) for n in range(DRAWN)]
    bands = [measured(shot).band for shot in shots]
    pairs = zip(bands, shots, strict=True)
    within = np.abs([_off(band, shot) for band, shot in pairs]) <= 1
    assert within[:, 0].sum() >= 5
    assert within[:, 1].sum() >= 5
    said = [1000 * SURE * band.median_error for band in bands]
    assert np.median(said) < 1.2  # mm: an error that says nothing would cover too
    assert all(band.evenness == "full" for band in bands)


@pytest.mark.parametrize(
    "changed",
    [
        {"tilt": 33.0},
        {"blur": 1.2},
        {"noise": 0.05},
        {"shadow": 0.6},
        {"roll": 137.0, "fill": 0.55},
        {"quality": 40},
        {"lens": 0.05},
        {"sheet": "black core"},
        {"thick": 2.0},
        {"skew": 12.0},
    ],
    ids=lambda one: next(iter(one)),
)
def test_one_thing_at_its_worst(changed: dict[str, Any]) -> None:
    """Perspective, blur, noise, shadow, turn, JPEG, lens: off by 1.5 times the ± at most."""
    middle, least = off(replace(PLAIN, **changed))
    assert abs(middle) < 1.5
    assert abs(least) < 1.5


def test_wider_band_measures_wider() -> None:
    """15 mm and 50 mm of scrim are told apart by 35 mm."""
    narrow, wide = (measured(replace(PLAIN, band=band)).band.median for band in (15.0, 50.0))
    assert 1000 * (wide - narrow) == pytest.approx(35, abs=1.5)


def test_kinds_of_band_are_told_apart() -> None:
    """Striped, missing on one side, and none at all."""
    assert measured(replace(PLAIN, kind="stripes")).band.evenness == "stripes"
    one_edge = measured(replace(PLAIN, kind="one_edge", width=38.0)).band
    assert one_edge.evenness == "one_edge"
    assert one_edge.share == pytest.approx(0.5, abs=0.1)
    cold = measured(replace(PLAIN, band=0.0)).band
    assert (cold.evenness, cold.smallest, cold.rows) == (None, 0, ())


@pytest.mark.parametrize(
    ("code", "changed"),
    [
        ("band_dark", {"light": 0.15}),
        ("band_blurred", {"blur": 6.0}),
        ("band_no_strip", {"length": 0.0}),
        ("band_skewed", {"skew": 26.0, "length": 90.0}),
        ("band_strip_size", {"width": 8.0}),
        ("band_glare", {"glare": 1.5, "shadow": 0.0}),
        ("band_end", {"length": 110.0, "band": 98.0}),
        ("band_unclear", {"sheet": "white on white", "noise": 0.25, "light": 0.6}),
        ("band_unclear", {"band": 0.0, "ink": True}),
        ("band_no_card", {"cover": 5}),
    ],
)
def test_a_photo_that_is_not_good_enough_is_refused(code: str, changed: dict[str, Any]) -> None:
    """Each lack has its own sentence; none becomes a number."""
    assert refused(**changed) == code


def test_a_card_printed_too_small_is_refused_before_the_photo() -> None:
    """A wrong print is not made good by arithmetic."""
    with pytest.raises(LapwrightError) as caught:
        measure_band(b"", name="a", check=0.97)
    assert caught.value.code == "band_print"


def test_check_line_is_read_in_inches_or_millimetres() -> None:
    """4 in or 100 mm are the whole; both at once are one too many."""
    assert check_share(4.0, None) == check_share(None, 100.0) == 1
    assert check_share(3.88, None) == pytest.approx(check_share(None, 97.0))
    with pytest.raises(LapwrightError) as caught:
        check_share(4.0, 100.0)
    assert caught.value.code == "stated_twice"


def test_file_that_is_missing_is_said(tmp_path: Path) -> None:
    """The name of a file that is not there."""
    with pytest.raises(FileUnreadable) as caught:
        read_band(tmp_path / "none.jpg")
    assert caught.value.code == "file_missing"
