"""A picture becomes a file: SVG, PNG, PDF, or a page that needs no network.

The font travels with the package, since a machine without fonts would draw something
else.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache
from pathlib import Path
from types import ModuleType
from typing import Any
from xml.sax.saxutils import escape

from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.report.panels import Spec

_FONTS = Path(__file__).parent / "fonts"
_POINTS = 72 / 96  # a unit of an SVG is 1/96 in, one of a PDF 1/72 in
_SIZE = re.compile(r'width="([\d.]+)" height="([\d.]+)"')
_ZOOM = 2.0  # pixels per unit, so that a picture stays sharp when a phone enlarges it


@cache
def _converter() -> ModuleType:
    import vl_convert

    vl_convert.register_font_directory(str(_FONTS))
    return vl_convert


def as_svg(drawing: Spec | str) -> str:
    """SVG of a chart; a finished SVG is passed on."""
    return drawing if isinstance(drawing, str) else str(_converter().vegalite_to_svg(drawing))


def _in_points(svg: str) -> str:
    """The same drawing with its size in points, so that a page is as large as its paper."""
    return _SIZE.sub(
        lambda size: 'width="{:.2f}" height="{:.2f}"'.format(
            *(_POINTS * float(side) for side in size.groups())
        ),
        svg,
        count=1,
    )


def _as_html(drawing: Spec) -> str:
    """One page that needs no network: what draws the chart is inside."""
    page = str(_converter().vegalite_to_html(drawing, bundle=True, renderer="svg"))
    title = escape(" ".join(drawing["title"]["text"]))
    for plain, ours in (
        ("<html>", f'<html lang="{drawing["usermeta"]["language"]}">'),
        ("<title>Chart</title>", f"<title>{title}</title>"),
    ):
        page = page.replace(plain, ours, 1)
    return page


_WRITERS: dict[str, Callable[[Any], bytes]] = {
    ".svg": lambda drawing: as_svg(drawing).encode(),
    ".png": lambda drawing: bytes(_converter().svg_to_png(as_svg(drawing), scale=_ZOOM)),
    ".pdf": lambda drawing: bytes(_converter().svg_to_pdf(_in_points(as_svg(drawing)))),
    ".html": lambda drawing: _as_html(drawing).encode(),
}


def save(drawing: Spec | str, path: Path) -> None:
    """Write a picture; the end of the name says in which form.

    Parameters
    ----------
    drawing : dict or str
        A chart, or a finished SVG such as the paper card.
    path : Path
        Ends in ``.svg``, ``.png``, ``.pdf``, or for a chart ``.html``.

    Raises
    ------
    LapwrightError
        ``chart_suffix``: another end.
    FileUnreadable
        ``cannot_write``.
    """
    known = [end for end in _WRITERS if end != ".html" or not isinstance(drawing, str)]
    end = path.suffix.lower()
    if end not in known:
        raise LapwrightError("chart_suffix", value=path.suffix, known=", ".join(known))
    content = _WRITERS[end](drawing)
    try:
        path.write_bytes(content)
    except OSError as error:
        raise FileUnreadable("cannot_write", file=str(path), reason=str(error.strerror)) from None
