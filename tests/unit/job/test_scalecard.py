"""What is printed where on the scale card."""

from __future__ import annotations

from itertools import combinations

from lapwright.job.scalecard import (
    BAY_BOTTOM,
    BAY_TOP,
    BITS,
    CELLS,
    CHECK,
    HEIGHT,
    MARKER,
    WIDTH,
    marker_places,
)


def test_markers_keep_their_white_margin() -> None:
    """Every marker lies on the card and a cell or more away from its edge, the bay, its peers."""
    cell = MARKER / CELLS
    for x, y in marker_places().values():
        assert cell <= x <= WIDTH - MARKER - cell
        assert cell <= y <= HEIGHT - MARKER - cell
        assert y + MARKER + cell <= BAY_TOP or y - cell >= BAY_BOTTOM
    for (x, y), (u, v) in combinations(marker_places().values(), 2):
        assert abs(x - u) >= MARKER + cell or abs(y - v) >= MARKER + cell


def test_bits_fill_a_marker() -> None:
    """A marker is a square of cells inside a border of one."""
    for rows in BITS.values():
        assert len(rows) == CELLS - 2
        assert all(len(row) == CELLS - 2 and set(row) <= {"0", "1"} for row in rows)


def test_card_fits_both_papers() -> None:
    """Letter and A4 leave 10 mm or more of paper that no printer cuts off."""
    for width, height in ((0.2159, 0.2794), (0.210, 0.297)):
        assert width - WIDTH >= 0.020
        assert height > 2 * HEIGHT
    assert WIDTH > CHECK
