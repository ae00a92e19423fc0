"""The page's modules without the page: conversions, rows and the places of tags."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from playwright.sync_api import Page

Run = Callable[[str, Any], Any]


@pytest.fixture
def run(open_page: Callable[..., Page]) -> Run:
    """Run a function of the page's modules on a value."""
    page = open_page()

    def ran(body: str, value: Any) -> Any:
        return page.evaluate(f"async (value) => {{ {body} }}", value)

    return ran


# Exact by definition: 0 C = 32 F, 100 C = 212 F, -40 C = -40 F; the international foot is
# 0.3048 m (NIST SP 811, 2008, appendix B). Claimed and reached: the last digit of a double.
@pytest.mark.parametrize(
    ("value", "unit", "other", "expected"),
    [
        (212, "f", "c", 100),
        (-40, "c", "f", -40),
        (100, "ft_min", "m_min", 30.48),
        (25.4, "mm", "in", 1),
    ],
)
def test_units_convert_as_defined(
    run: Run, value: float, unit: str, other: str, expected: float
) -> None:
    """The page converts as the core does, both ways."""
    body = "const { convert } = await import('/units.js'); return convert(...value);"
    assert run(body, [value, unit, other]) == pytest.approx(expected, abs=1e-9)
    assert run(body, [expected, other, unit]) == pytest.approx(value, abs=1e-9)


def test_a_quantity_typed_in_one_unit_comes_back_as_typed(run: Run) -> None:
    """Showing 865 F in C and in F again never turns it into 864 or 866."""
    body = """const { textIn } = await import('/units.js');
    return [textIn(value, 'c'), textIn(value, 'f')];"""
    assert run(body, {"value": "865", "unit": "f"}) == ["463", "865"]


def test_a_decimal_comma_is_read(run: Run) -> None:
    """A Spanish keyboard offers the comma."""
    body = "const { numberIn } = await import('/units.js'); return value.map(numberIn);"
    assert run(body, ["3,5", " 3.5 ", "-7"]) == [3.5, 3.5, -7]


def test_mixed_units_go_out_in_one_unit_per_column(run: Run) -> None:
    """A file has one unit per column: the first weld's; the others are converted to it."""
    weld = {"speed": None, "ambient": None, "sheet": None}
    strips = [{"strip": "1", "pull": "full", "overheat": "none"}]
    welds = [
        {**weld, "name": "1", "air": {"value": "860", "unit": "f"}, "strips": strips},
        {**weld, "name": "2", "air": {"value": "460", "unit": "c"}, "strips": strips},
    ]
    rows = run("const { rowsOf } = await import('/rows.js'); return rowsOf(value);", welds)
    assert [row["air_f"] for row in rows] == ["860", "860"]
    assert all("air_c" not in row for row in rows)


def test_a_note_with_commas_and_quotes_survives_the_file(run: Run) -> None:
    """CSV quoting as RFC 4180, section 2, has it."""
    rows = [{"weld": "1", "strip": "1", "pull": "full", "overheat": "", "note": 'wet, "cold"'}]
    text = run("const { csvOf } = await import('/rows.js'); return csvOf(value);", rows)
    assert text == 'weld,strip,pull,overheat,note\r\n1,1,full,,"wet, ""cold"""\r\n'


@settings(
    max_examples=60,
    suppress_health_check=[HealthCheck.function_scoped_fixture],  # one page serves all examples
)
@given(wanted=st.lists(st.floats(14, 346), max_size=20).map(sorted))
def test_tags_keep_order_bounds_and_distance(run: Run, wanted: list[float]) -> None:
    """Tags never overlap while there is room, never leave the chart, never change places."""
    body = """const { spread } = await import('/chart.js');
    return spread(value, { gap: 30, low: 14, high: 346 });"""
    places = run(body, wanted)
    gaps = [right - left for left, right in pairwise(places)]
    least = min(30, 332 / max(1, len(wanted) - 1))
    assert all(gap >= least - 1e-6 for gap in gaps)
    assert all(14 - 1e-6 <= place <= 346 + 1e-6 for place in places)
    apart = all(b - a >= 30 for a, b in pairwise(wanted))
    if apart:
        assert places == pytest.approx(wanted, abs=1e-6)
