"""GeoJSON (RFC 7946): features with a ``kind``, in degrees unless the file names a unit.

The standard knows longitude and latitude only; those are laid flat around the middle of the
roof. A drawing on its own plane says so by a member ``"units"``: ``"ft"``, ``"in"``, ``"m"`` or
``"mm"``. Interior rings of a roof are curbs.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from lapwright.errors import FileUnreadable
from lapwright.readings.columns import shown
from lapwright.readings.lengths import read_length
from lapwright.readings.outline import FILE_UNITS, Drawn, DrawnKind, FileUnit, kind_of
from lapwright.readings.text import decode, load
from lapwright.roof.earth import scale_of
from lapwright.roof.outline import Corner
from lapwright.units import to_si


def read_geojson(path: Path, *, unit: FileUnit | None = None) -> tuple[list[Drawn], Corner | None]:
    """Shapes of a GeoJSON file, and for one in degrees where its zero was put."""
    return parse_geojson(decode(load(path, file=str(path)), file=str(path)), file=str(path),
                         unit=unit)  # fmt: skip


def parse_geojson(
    text: str, *, file: str, unit: FileUnit | None = None
) -> tuple[list[Drawn], Corner | None]:
    """Shapes of a GeoJSON text.

    Raises
    ------
    FileUnreadable
        ``bad_json``, ``not_geojson``, ``unknown_word``, ``outline_no_unit``.
    """
    try:
        tree = json.loads(text)
    except json.JSONDecodeError as error:
        raise FileUnreadable("bad_json", file=file, line=error.lineno) from None
    except RecursionError:
        raise FileUnreadable("not_geojson", file=file, value="[[[") from None
    try:
        shapes = [shape for feature in _features(tree) for shape in _shapes(feature, file=file)]
        named = tree.get("units") if unit is None else unit
    except (TypeError, KeyError, AttributeError, ValueError, IndexError, OverflowError) as error:
        raise FileUnreadable("not_geojson", file=file, value=shown(str(error))) from None
    if named is not None and named not in FILE_UNITS:
        raise FileUnreadable("not_geojson", file=file, value=shown(str(named)))
    if named is None or named == "deg":
        return _laid_flat(shapes, file=file)
    return [_scaled(shape, str(named)) for shape in shapes], None


def _features(tree: Any) -> Iterator[dict[str, Any]]:
    kind = tree["type"]
    if kind == "FeatureCollection":
        yield from tree["features"]
    elif kind == "Feature":
        yield tree
    else:
        yield {"geometry": tree, "properties": None}


def _shapes(feature: dict[str, Any], *, file: str) -> Iterator[Drawn]:
    said = feature.get("properties") or {}
    geometry = feature["geometry"]
    if geometry is None:
        return
    word = str(said.get("kind") or "roof")
    kind = kind_of(word)
    if kind is None:
        choices = "roof, curb, wall, pipe, drain"
        raise FileUnreadable("unknown_kind", file=file, value=shown(word), choices=choices)
    name, area, level = (str(said.get(each) or "") for each in ("name", "area", "level"))
    diameter, height = _size(said, "diameter"), _size(said, "height") or 0.0
    shape, places = geometry["type"], geometry["coordinates"]
    if shape == "Point":
        yield Drawn(kind, (_corner(places),), name, area, level, diameter)
    elif shape in ("Polygon", "MultiPolygon"):
        for part in [places] if shape == "Polygon" else places:
            yield Drawn(kind, tuple(map(_corner, part[0])), name, area, level, height=height)
            for number, hole in enumerate(part[1:], start=1):
                inner: DrawnKind = "curb" if kind == "roof" else kind
                called = f"{name} {number}" if name else ""
                yield Drawn(inner, tuple(map(_corner, hole)), called, area, level)
    else:
        raise ValueError(shape)


def _corner(place: Any) -> Corner:
    return float(place[0]), float(place[1])


def _size(said: dict[str, Any], name: str) -> float | None:
    """A size as text with marks (``"6 in"``), or under a name with its unit. [m]"""
    for key, value in said.items():
        if key == name and value is not None:
            length = read_length(str(value))
            if length is None:
                raise ValueError(f"{key}: {value}")
            return length
        if key.startswith(f"{name}_") and value is not None:
            return to_si(float(value), key.removeprefix(f"{name}_"))
    return None


def _scaled(shape: Drawn, unit: str) -> Drawn:
    corners = tuple((to_si(x, unit), to_si(y, unit)) for x, y in shape.corners)
    return _moved(shape, corners)


def _moved(shape: Drawn, corners: tuple[Corner, ...]) -> Drawn:
    return Drawn(
        shape.kind, corners, shape.name, shape.area, shape.level, shape.diameter, shape.height
    )


def _laid_flat(shapes: list[Drawn], *, file: str) -> tuple[list[Drawn], Corner | None]:
    corners = [corner for shape in shapes for corner in shape.corners]
    if not corners:
        return [], None
    if not all(abs(x) <= 180 and abs(y) <= 89 for x, y in corners):  # nan fails too
        raise FileUnreadable("outline_no_unit", file=file)
    xs, ys = zip(*corners, strict=True)
    anchor = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
    across, along = scale_of(anchor)
    return [
        _moved(
            shape,
            tuple(((x - anchor[0]) * across, (y - anchor[1]) * along) for x, y in shape.corners),
        )
        for shape in shapes
    ], anchor
