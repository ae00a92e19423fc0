"""A drawing of a roof -> checked areas: GeoJSON, DXF or a CSV of corners.

Each format gives shapes with a kind; here they become areas with their openings, whatever
format they came in.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from string import ascii_uppercase
from typing import Any, Literal, get_args

import shapely
from shapely.geometry import Polygon

from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.readings.columns import plain
from lapwright.roof.outline import Corner, Opening, OpeningKind, Outline, disc, outline, ring

DrawnKind = Literal["roof"] | OpeningKind
FileUnit = Literal["ft", "in", "m", "mm", "deg"]
FILE_UNITS: tuple[FileUnit, ...] = get_args(FileUnit)
ROUND_SIZE = {"drain": 0.3, "pipe": 0.1}  # m; diameter of one drawn as a point; our choice
_MOST_SHAPES = 20_000  # our choice; a larger drawing is not of one roof

# English then Spanish; the Spanish ones are from memory and wait for a native roofer.
KIND_WORDS: dict[str, DrawnKind] = {
    "roof": "roof",
    "outline": "roof",
    "area": "roof",
    "curb": "curb",
    "wall": "wall",
    "pipe": "pipe",
    "drain": "drain",
    "techo": "roof",
    "cubierta": "roof",
    "brocal": "curb",
    "muro": "wall",
    "tubo": "pipe",
    "desague": "drain",
    "drenaje": "drain",
}


@dataclass(frozen=True)
class Drawn:
    """One shape of a drawing.

    Parameters
    ----------
    kind : {"roof", "curb", "wall", "pipe", "drain"}
        What it is.
    corners : tuple of (x, y)
        Of a ring, or one place of something round. [m]
    name, area, level : str
        As the drawing says; may be empty.
    diameter, height : float, optional
        [m]
    """

    kind: DrawnKind
    corners: tuple[Corner, ...]
    name: str = ""
    area: str = ""
    level: str = ""
    diameter: float | None = None
    height: float = 0.0

    @property
    def shape(self) -> Polygon:
        """Checked shape. [m]"""
        name = self.name or self.area or self.kind
        if len(self.corners) == 1 and (self.diameter or self.kind in ROUND_SIZE):
            size = self.diameter or ROUND_SIZE[self.kind]
            return disc(self.corners[0], diameter=size, name=name)
        return ring(self.corners, name=name)


@dataclass(frozen=True)
class Drawing:
    """A roof as drawn.

    Parameters
    ----------
    areas : tuple of Outline
        Checked. [m]
    anchor : (longitude, latitude), optional
        Where the zero of a drawing in degrees was put. [deg]
    """

    areas: tuple[Outline, ...]
    anchor: Corner | None = None


def read_outline(path: Path, *, unit: FileUnit | None = None) -> Drawing:
    """The roof areas of a file; the end of its name says which format it is.

    Parameters
    ----------
    path : Path
        ``.geojson`` or ``.json``, ``.dxf``, ``.csv``.
    unit : str, optional
        Of its coordinates, where the file does not say or is wrong.

    Raises
    ------
    FileUnreadable
        It cannot be read or understood.
    LapwrightError
        ``outline_suffix``; ``no_roof_drawn``; an outline that cannot be one, see
        :mod:`lapwright.roof.outline`.
    """
    readers: dict[str, Callable[[], tuple[list[Drawn], Corner | None]]] = {
        ".geojson": lambda: _geojson(path, unit),
        ".json": lambda: _geojson(path, unit),
        ".dxf": lambda: (_dxf(path, unit), None),
        ".csv": lambda: (_csv(path, unit), None),
    }
    end = path.suffix.lower()
    if end not in readers:
        raise LapwrightError("outline_suffix", value=path.suffix, known=".geojson, .dxf, .csv")
    shapes, anchor = readers[end]()
    if len(shapes) > _MOST_SHAPES:
        raise FileUnreadable("too_many_shapes", file=str(path), limit=str(_MOST_SHAPES))
    return Drawing(gather(shapes, file=str(path)), anchor)


def gather(shapes: Sequence[Drawn], *, file: str) -> tuple[Outline, ...]:
    """Areas with their openings: each opening belongs to the area it names, or that it lies in.

    Raises
    ------
    FileUnreadable
        ``no_roof_drawn``; ``opening_astray``: an opening lies in no area, or in areas of two
        levels without naming one.
    """
    roofs = [shape for shape in shapes if shape.kind == "roof"]
    if not roofs:
        raise FileUnreadable("no_roof_drawn", file=file)
    names = _named(roofs)
    edges = [
        outline(name, roof.shape).edge  # first, so that a wrong unit is told by the whole roof
        for name, roof in zip(names, roofs, strict=True)
    ]
    openings: list[list[Opening]] = [[] for _ in roofs]
    for shape in shapes:
        if shape.kind != "roof":
            kind: OpeningKind = shape.kind
            found = Opening(kind, shape.shape, shape.name, shape.height)
            place = _home(shape, found.shape, names, edges, file=file)
            openings[place].append(found)
    return tuple(
        outline(name, edge, openings=within, level=roof.level)
        for name, edge, within, roof in zip(names, edges, openings, roofs, strict=True)
    )


def kind_of(word: str) -> DrawnKind | None:
    """What a word of a drawing means; capitals, accents and plurals do not matter.

    Examples
    --------
    >>> kind_of("Curb"), kind_of("desagüe"), kind_of("tree")
    ('curb', 'drain', None)
    """
    return KIND_WORDS.get(plain(word).removesuffix("s"))


def _named(roofs: Iterable[Drawn]) -> list[str]:
    """Area letters: those drawn, and free ones for the others."""
    roofs = list(roofs)
    drawn = [roof.area for roof in roofs if roof.area]
    twice = [name for name, count in Counter(drawn).items() if count > 1]
    if twice:
        raise LapwrightError("area_twice", ring=twice[0])
    letters = [*ascii_uppercase, *(a + b for a in ascii_uppercase for b in ascii_uppercase)]
    free = (letter for letter in letters if letter not in drawn)
    return [roof.area or next(free) for roof in roofs]


def _home(
    opening: Drawn, shape: Polygon, names: Sequence[str], edges: Sequence[Polygon], *, file: str
) -> int:
    if opening.area:
        places = [place for place, name in enumerate(names) if name == opening.area]
    else:
        centre: Any = shapely.point_on_surface(shape)
        places = [place for place, edge in enumerate(edges) if edge.covers(centre)]
    if len(places) != 1:
        raise FileUnreadable("opening_astray", file=file, value=opening.name or opening.kind)
    return places[0]


def _geojson(path: Path, unit: FileUnit | None) -> tuple[list[Drawn], Corner | None]:
    from lapwright.readings.outlinejson import read_geojson

    return read_geojson(path, unit=unit)


def _dxf(path: Path, unit: FileUnit | None) -> list[Drawn]:
    from lapwright.readings.outlinedxf import read_dxf

    return read_dxf(path, unit=unit)


def _csv(path: Path, unit: FileUnit | None) -> list[Drawn]:
    from lapwright.readings.outlinecsv import read_corners

    return read_corners(path, unit=unit)
