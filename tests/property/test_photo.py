"""What a photo may change without changing the band."""

from __future__ import annotations

import io
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from tests.stripphoto import Shot, render

from lapwright.job.band import SURE, Band, Row, Run, Sight, judge_band
from lapwright.readings.photo.measure import measure_band

SIGHT = Sight(3e-5, 1.5e-4, 0.25, 8)


@cache
def picture() -> Image.Image:
    """One photo."""
    return Image.fromarray(render(Shot(pixels=(1632, 1224), band=35.0)))


def band_on(image: Image.Image) -> Band:
    """The band on it, kept without loss."""
    file = io.BytesIO()
    image.save(file, "PNG", compress_level=1)
    return measure_band(file.getvalue(), name="a", check=1.0).band


@cache
def plain() -> Band:
    """The band on the photo as it is."""
    return band_on(picture())


@settings(max_examples=3, deadline=None)
@given(st.floats(0, 360), st.floats(0.85, 1.2))
def test_turning_and_scaling_do_not_change_the_width(degrees: float, scale: float) -> None:
    """However the phone is held, and however many pixels it has."""
    image = picture().rotate(degrees, Image.Resampling.BICUBIC, expand=True, fillcolor=(80, 70, 60))
    image = image.resize([round(side * scale) for side in image.size], Image.Resampling.LANCZOS)
    band = band_on(image)
    assert abs(band.median - plain().median) < SURE * band.median_error
    assert abs(band.smallest - plain().smallest) < SURE * band.smallest_error
    assert band.evenness == plain().evenness


@settings(max_examples=3, deadline=None)
@given(st.floats(0.6, 1.0), st.tuples(*[st.floats(0.85, 1.0)] * 3))
def test_brightness_and_colour_do_not_change_the_width(
    light: float, tint: tuple[float, float, float]
) -> None:
    """Morning, noon, the tint of an awning."""
    dimmed = np.asarray(picture()) * (light * np.array(tint))
    band = band_on(Image.fromarray(dimmed.astype(np.uint8)))
    assert abs(band.median - plain().median) < SURE * band.median_error


spans = st.lists(
    st.tuples(st.floats(0.048, 0.050), st.floats(0.088, 0.090)), min_size=6, max_size=40
)


@given(spans, st.floats(-0.01, 0.05))
def test_where_the_strip_lies_does_not_matter(
    ends: list[tuple[float, float]], shift: float
) -> None:
    """Moved along the card or turned end for end, the band is as wide, and in order."""

    def band(move: float, way: int) -> Band:
        rows = [
            Row(0.001 * n, (Run(*sorted((move + way * start, move + way * end))),))
            for n, (start, end) in enumerate(ends)
        ]
        return judge_band(rows, sight=SIGHT, checked=True)

    first = band(0.0, 1)
    assert first.smallest <= first.median <= first.largest
    for other in (band(shift, 1), band(0.15, -1)):
        assert other.smallest == pytest.approx(first.smallest)
        assert other.median == pytest.approx(first.median)
        assert other.median_error == pytest.approx(first.median_error, rel=1e-6)
