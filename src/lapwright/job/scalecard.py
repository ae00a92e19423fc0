"""The scale card: what is printed where, so that a photo of it can be measured.

Eight markers stand round a bay in which the pulled strip lies. The bay is printed with a
pattern that is known everywhere: where the pattern is missing, something lies on it,
whatever its colour. All lengths in m, from the card's upper left corner, y down.
"""

from __future__ import annotations

WIDTH, HEIGHT = 0.186, 0.122
MARKER = 0.016  # side of a marker, black border included
BAY_TOP, BAY_BOTTOM = 0.031, 0.091  # the bay is as wide as the card
TILE = 0.0025  # side of a square of the bay's pattern: no weave of a scrim looks the same
CHECK = 0.1  # between the two long marks of the lower ruler
CHECK_WITHIN = 0.005  # of its length, that it may be off; half a mark of a tape in mm, our choice

_COLUMNS = (0.004, 0.058, 0.112, 0.166)
_ROWS = (0.004, 0.102)

# Rows of six squares, black 0, white 1, without the border: markers 100 to 107 of the open
# dictionary AprilTag 36h11 in the order of OpenCV's DICT_APRILTAG_36h11 (a test compares them).
DICTIONARY = "DICT_APRILTAG_36h11"
BITS: dict[int, tuple[str, ...]] = {
    100: ("100010", "100100", "110010", "111000", "111100", "001010"),
    101: ("111101", "110010", "101011", "101110", "011101", "100110"),
    102: ("011100", "111100", "110001", "101011", "010101", "101001"),
    103: ("110010", "011001", "110010", "100110", "101001", "011001"),
    104: ("001101", "100110", "101000", "001100", "010100", "110101"),
    105: ("010100", "001001", "111001", "010001", "100101", "000011"),
    106: ("101110", "100110", "110100", "100010", "011111", "010001"),
    107: ("110100", "101010", "110011", "110001", "011000", "111011"),
}
CELLS = 8  # squares along a marker, border included

Point = tuple[float, float]


def marker_places() -> dict[int, Point]:
    """Upper left corner of each marker by its number. [m]

    Examples
    --------
    >>> marker_places()[100], marker_places()[107]
    ((0.004, 0.004), (0.166, 0.102))
    """
    corners = [(x, y) for y in _ROWS for x in _COLUMNS]
    return dict(zip(BITS, corners, strict=True))
