"""Lengths as people write them."""

from __future__ import annotations

import pytest

from lapwright.readings.lengths import read_length

FOOT, INCH = 0.3048, 0.0254  # m; exact


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("12' 6 1/2\"", 12 * FOOT + 6.5 * INCH),
        ("12'-6\"", 12 * FOOT + 6 * INCH),
        ("12\u2032 6\u2033", 12 * FOOT + 6 * INCH),
        ("12 ft 6 in", 12 * FOOT + 6 * INCH),
        ("12 pies", 12 * FOOT),
        ("6 3/4 in", 6.75 * INCH),
        ('3/8"', 0.375 * INCH),
        ("-4'", -4 * FOOT),
        ("0'", 0.0),
        ("12.5 m", 12.5),
        ("-250 mm", -0.25),
    ],
)
def test_length_is_read(text: str, metres: float) -> None:
    """Feet, inches, fractions and metric, with any of the marks in use."""
    assert read_length(text) == pytest.approx(metres, abs=1e-12)


@pytest.mark.parametrize(
    "text",
    ["", "12", "ft", "12' 18\"", "12' 4/3\"", "1/0 in", "12 cm", "12''6'", "1e5 m", "nan m", "'",
     "12' 6", "- m"],
)  # fmt: skip
def test_other_text_is_no_length(text: str) -> None:
    """Without a mark, with inches beyond a foot or an odd fraction nothing is guessed."""
    assert read_length(text) is None
