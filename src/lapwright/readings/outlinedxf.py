"""DXF: closed polylines and circles; the name of the layer says what a shape is.

A layer counts when one of its words is roof, curb, wall, pipe or drain, in either language
(``ROOF``, ``A-DRAIN``, ``pipe_2``); ``ROOF-B`` names area B. All other layers are left alone.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.readings.columns import shown
from lapwright.readings.outline import Drawn, DrawnKind, FileUnit, kind_of
from lapwright.readings.text import load
from lapwright.units import to_si

INSERT_UNITS = {1: "in", 2: "ft", 4: "mm", 6: "m"}  # $INSUNITS; DXF reference of header variables
_FINE = 0.002  # m; how far a chord may lie from its arc; our choice
_MOST_BYTES = 100_000_000  # our choice


def read_dxf(path: Path, *, unit: FileUnit | None = None) -> list[Drawn]:
    """Shapes of a DXF file.

    Raises
    ------
    LapwrightError
        ``needs_drawing_extra``: the library for DXF is not installed.
    FileUnreadable
        ``dxf_unreadable``, ``dxf_no_unit``, ``dxf_open``, ``dxf_no_roof`` with the layers found.
    """
    try:
        import ezdxf
    except ImportError:
        raise LapwrightError("needs_drawing_extra") from None
    file = str(path)
    load(path, file=file)  # says in our words why a file cannot be opened
    if path.stat().st_size > _MOST_BYTES:
        raise FileUnreadable("file_too_big", file=file, limit=f"{_MOST_BYTES // 1_000_000} MB")
    try:
        document = ezdxf.readfile(path)  # type: ignore[attr-defined]
    except (OSError, ezdxf.DXFError, ValueError, KeyError, IndexError, TypeError) as error:  # type: ignore[attr-defined]
        raise FileUnreadable("dxf_unreadable", file=file, reason=shown(str(error))) from None
    drawn_in = unit or INSERT_UNITS.get(document.header.get("$INSUNITS", 0))
    if drawn_in is None or drawn_in == "deg":
        raise FileUnreadable("dxf_no_unit", file=file)
    model = document.modelspace()
    shapes = [shape for each in model for shape in _shape(each, drawn_in, file=file)]
    if not any(shape.kind == "roof" for shape in shapes):
        layers = sorted({each.dxf.layer for each in model})
        raise FileUnreadable("dxf_no_roof", file=file, value=shown(", ".join(layers)))
    return shapes


def layer_kind(layer: str) -> tuple[DrawnKind, str] | None:
    """What a layer holds, and for a roof the area it names.

    Examples
    --------
    >>> layer_kind("ROOF-B"), layer_kind("A-DRAIN"), layer_kind("GRID")
    (('roof', 'B'), ('drain', ''), None)
    """
    words = [word for word in re.split(r"[^\w]|_", layer) if word]
    for place, word in enumerate(words):
        kind = kind_of(word)
        if kind is not None:
            after = words[place + 1] if kind == "roof" and place + 1 < len(words) else ""
            return kind, after
    return None


def _shape(entity: Any, unit: str, *, file: str) -> Iterator[Drawn]:
    found = layer_kind(entity.dxf.layer)
    if found is None:
        return
    kind, area = found
    scale = to_si(1.0, unit)
    if entity.dxftype() == "CIRCLE":
        if kind == "roof":
            corners = tuple(
                (point.x * scale, point.y * scale) for point in entity.flattening(_FINE / scale)
            )
            yield Drawn(kind, corners, area=area)
        else:
            centre, radius = entity.dxf.center, entity.dxf.radius
            place = (centre.x * scale, centre.y * scale)
            yield Drawn(kind, (place,), area=area, diameter=2 * radius * scale)
    elif entity.dxftype() in ("LWPOLYLINE", "POLYLINE"):
        corners = _corners(entity, scale)
        is_closed = bool(entity.closed if entity.dxftype() == "LWPOLYLINE" else entity.is_closed)
        if not is_closed and (len(corners) < 3 or math.dist(corners[0], corners[-1]) > 0.01):
            raise FileUnreadable("dxf_open", file=file, value=shown(entity.dxf.layer))
        yield Drawn(kind, corners, area=area)


def _corners(entity: Any, scale: float) -> tuple[tuple[float, float], ...]:
    from ezdxf.path import make_path

    points = make_path(entity).flattening(_FINE / scale)
    return tuple((point.x * scale, point.y * scale) for point in points)
