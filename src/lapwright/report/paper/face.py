"""The typeface that ships: which characters it can print, and how wide a text is.

Widths are known before the pages are laid out, so that a table of ten thousand rows needs no
measuring; and a character without a glyph would make the file no archival PDF.
"""

from __future__ import annotations

import re
import struct
import unicodedata
from dataclasses import dataclass
from functools import cache
from pathlib import Path

FONTS = Path(__file__).parents[1] / "fonts"
FAMILY = "DejaVu Sans"

_BREAKS = {"\r\n": "\n", "\r": "\n", "\t": " "}
# A control may not be printed, a private character means nothing to others, and one that turns
# the order of letters would let a page show other words than it holds. The mark of byte order
# has a glyph, but PDF/A forbids a character of that value.
_NEVER = {"Cc", "Cs", "Co", "Cn"}
_ALONE = re.compile("P|S|Zs")  # marks, symbols and spaces of any script join nothing
_TURNING = {*range(0x202A, 0x202F), *range(0x2066, 0x206A), 0xFEFF}


@dataclass(frozen=True)
class Face:
    """One weight of the typeface.

    Parameters
    ----------
    advances : dict of int to float
        Width of each character that has a glyph. [em]
    """

    advances: dict[int, float]


def _tables(content: bytes) -> dict[str, bytes]:
    """Tables of an OpenType file by their names."""
    (count,) = struct.unpack_from(">H", content, 4)
    tables = {}
    for number in range(count):
        tag, _, at, length = struct.unpack_from(">4sLLL", content, 12 + 16 * number)
        tables[tag.decode("latin-1")] = content[at : at + length]
    return tables


def _glyphs(cmap: bytes) -> dict[int, int]:
    """Glyph of each character, from the subtable of all of Unicode (format 12)."""
    (count,) = struct.unpack_from(">H", cmap, 2)
    starts = [struct.unpack_from(">L", cmap, 8 + 8 * number)[0] for number in range(count)]
    whole = next(at for at in starts if struct.unpack_from(">H", cmap, at)[0] == 12)
    (groups,) = struct.unpack_from(">L", cmap, whole + 12)
    glyphs = {}
    for number in range(groups):
        first, last, glyph = struct.unpack_from(">LLL", cmap, whole + 16 + 12 * number)
        glyphs.update({first + step: glyph + step for step in range(last - first + 1)})
    return glyphs


@cache
def face(bold: bool = False) -> Face:
    """The typeface as it lies in the package."""
    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    tables = _tables((FONTS / name).read_bytes())
    (em,) = struct.unpack_from(">H", tables["head"], 18)
    (measured,) = struct.unpack_from(">H", tables["hhea"], 34)
    widths = [
        struct.unpack_from(">H", tables["hmtx"], 4 * number)[0] / em for number in range(measured)
    ]
    return Face({
        character: widths[min(glyph, measured - 1)]
        for character, glyph in _glyphs(tables["cmap"]).items()
        if glyph
    })  # fmt: skip


@cache
def _printed(character: str) -> str:
    point = ord(character)
    has_glyph = point in face().advances or point in face(bold=True).advances
    is_barred = unicodedata.category(character) in _NEVER or point in _TURNING
    return character if character == "\n" or (has_glyph and not is_barred) else f"[U+{point:04X}]"


def printable(text: str) -> str:
    """The text with the number in place of each character that cannot be printed.

    Examples
    --------
    >>> printable("top ≥ 0,9 °C 漢")
    'top ≥ 0,9 °C [U+6F22]'
    """
    if text.isascii() and text.isprintable():
        return text
    for given, plain in _BREAKS.items():
        text = text.replace(given, plain)
    return "".join(map(_printed, text))


@cache
def _is_plain(character: str) -> bool:
    """Whether it stands by itself: neither joined to its neighbours nor set from the right."""
    is_alone = ord(character) < 0x900 or _ALONE.match(unicodedata.category(character))
    return bool(is_alone) and unicodedata.bidirectional(character) not in ("R", "AL", "NSM")


def width_of(text: str, *, bold: bool = False) -> float:
    """Width of one line; infinite when only the typesetter can tell. [em]

    Examples
    --------
    >>> round(width_of("mm"), 3), width_of("–"), width_of("שלום")
    (1.948, 0.5, inf)
    """
    advances = face(bold).advances
    if text.isascii() or all(map(_is_plain, text)):
        return sum(advances.get(ord(character), 1.0) for character in text)
    return float("inf")
