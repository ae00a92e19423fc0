"""Steps of a map: they tile it and lie where the values say."""

from __future__ import annotations

import numpy as np
import pytest

from lapwright.report.figures import Reader
from lapwright.report.panels import axis_numbers, stepped


def test_border_lies_where_the_value_crosses_the_level() -> None:
    """On a plane v = x + y the border between two steps is the line x + y = level."""
    x, y = np.linspace(0.0, 1.0, 5), np.array([0.0, 0.3, 1.0])
    bars = stepped(x, y, x[None, :] + y[:, None], levels=[0.7])
    for bar in bars:
        if bar["step"] == 0 and bar["x2"] < 1:
            assert bar["x2"] + (bar["y"] + bar["y2"]) / 2 == pytest.approx(0.7, abs=2 / 600)
    assert {bar["step"] for bar in bars} == {0, 1}


def test_bars_tile_the_map() -> None:
    """Bars cover the map once: their areas add up to it, and holes are kept."""
    x, y = np.linspace(600.0, 1100.0, 30), np.linspace(6.0, 16.0, 20)
    values = np.cos(x[None, :] / 40) * np.sin(y[:, None])
    bars = stepped(x, y, values, levels=[-0.5, 0.0, 0.5])
    area = sum((bar["x2"] - bar["x"]) * (bar["y2"] - bar["y"]) for bar in bars)
    assert area == pytest.approx(500.0 * 10.0)
    top_row = [bar for bar in bars if bar["y2"] == 16.0]
    assert len(top_row) > 4  # the wave goes up and down along one row


def test_spanish_axis_has_a_decimal_comma() -> None:
    """Figures on an axis follow the reader's language, not the drawing library's."""
    assert "','" in axis_numbers(Reader("es"))
    assert "','" not in axis_numbers(Reader("en"))
