"""A document as figures for the template: each text printable, each long word ready to be cut."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import lapwright
from lapwright.report.paper.blocks import (
    Block,
    Document,
    Grid,
    Listed,
    Pairs,
    Picture,
    Section,
    Shot,
    Shots,
    Signature,
    Words,
)
from lapwright.report.paper.columns import cuttable, laid
from lapwright.report.paper.face import FAMILY, printable, width_of
from lapwright.report.paper.length import pages_about
from lapwright.words import say

Set = dict[str, Any]

PAPERS = {"letter": (612.0, 792.0), "a4": (595.28, 841.89)}  # pt; a4 as in ISO 216
_SIDE, _TOP = 54.0, 58.0  # pt of margin; the same below
_SIZE, _SMALL, _TITLE, _PART, _FOOT = 9.5, 7.5, 20.0, 13.0, 7.0  # pt of letters
_NUMBER = 40.0  # pt before a heading, for its number
_BAR = 12.0  # pt before a caution
_FRAME = 20.0  # pt around a signature
_PAGE_OF = 90.0  # pt of a page's number at its foot
_NAMES = 0.35  # of the width: the most that the names of a form may take
_SHORT = 8  # pages that need no contents
_CONTENTS = 150  # headings, three pages of them; of more only the main ones stand there
_WORDS = ("contents", "caution", "empty")


@dataclass(frozen=True)
class Files:
    """What lies beside the template.

    Parameters
    ----------
    width : float
        Of the page's text. [pt]
    pictures : mapping of str to str
        File of each SVG.
    photos : mapping of str to str
        File of each photo by its SHA-256.
    missing : mapping of str to str
        Why there is none, for the others.
    """

    width: float
    pictures: Mapping[str, str]
    photos: Mapping[str, str]
    missing: Mapping[str, str]


def blocks_of(document: Document) -> Iterator[Block]:
    """Every block, in order."""

    def within(sections: tuple[Section, ...]) -> Iterator[Block]:
        for section in sections:
            yield from section.blocks
            yield from within(section.sections)

    return within(document.sections)


def text_width(document: Document) -> float:
    """Width of the page's text. [pt]"""
    return PAPERS[document.paper][0] - 2 * _SIDE


def _fit(text: str, width: float, size: float = _SIZE, *, bold: bool = False) -> str:
    return cuttable(printable(text), width=width / size, bold=bold)


def _words(block: Words, files: Files) -> Set:
    size = _SMALL if block.tone == "small" else _SIZE
    return {"text": _fit(block.text, files.width - _BAR, size), "tone": block.tone}


def _rows(rows: tuple[tuple[str, str], ...], width: float) -> Set:
    """Names and values, the values in one line below each other."""
    longest = max((width_of(name, bold=True) for name, _ in rows), default=0.0)
    indent = min(1.05 * longest * _SIZE + 10, _NAMES * width)
    return {
        "indent": round(indent, 2),
        "rows": [
            (_fit(name, indent - 10, bold=True), _fit(value, width - indent))
            for name, value in rows
        ],
    }


def _pairs(block: Pairs, files: Files) -> Set:
    return _rows(block.rows, files.width)


def _signature(block: Signature, files: Files) -> Set:
    width = files.width - _FRAME
    lines = [name for name, value in block.rows if block.is_open and not value]
    told = tuple((name, value) for name, value in block.rows if name not in lines)
    return _rows(told, width) | {"lines": [_fit(name, width / len(lines)) for name in lines]}


def _grid(block: Grid, files: Files) -> Set:
    said = Grid(
        tuple(map(printable, block.head)),
        tuple(tuple(map(printable, row)) for row in block.rows),
        block.numbers,
        block.wide,
    )
    layout = laid(said, width=files.width)
    return vars(layout) | {
        "numbers": [column in block.numbers for column in range(len(block.head))],
        "caption": _fit(block.caption, files.width, bold=True),
    }


def _picture(block: Picture, files: Files) -> Set:
    return {
        "file": files.pictures[block.svg],
        "alt": printable(block.alt),
        "caption": _fit(block.caption, files.width),
        "share": block.share,
    }


def _shots(block: Shots, files: Files) -> Set:
    across = 2 if len(block.shots) < 3 else 3
    room = files.width / across - _FRAME

    def shown(shot: Shot) -> Set:
        placed = {"caption": _fit(shot.caption, room)}
        if (file := files.photos.get(shot.file)) is not None:
            return placed | {"file": file, "alt": printable(shot.alt)}
        why = _fit(files.missing[shot.file], room)
        return placed | {"file": None, "alt": _fit(shot.alt, room), "why": why}

    return {"across": across, "shots": [shown(shot) for shot in block.shots]}


def _set(block: Block, files: Files) -> Set:
    match block:
        case Words():
            return _words(block, files)
        case Listed():
            return _words(Words(block.text), files)
        case Pairs():
            return _pairs(block, files)
        case Signature():
            return _signature(block, files)
        case Grid():
            return _grid(block, files)
        case Picture():
            return _picture(block, files)
        case Shots():
            return _shots(block, files)


def _section(section: Section, files: Files) -> Set:
    return {
        "title": _fit(section.title, files.width - _NUMBER, _PART, bold=True),
        "new_page": section.new_page,
        "blocks": [{"kind": type(block).__name__} | _set(block, files) for block in section.blocks],
        "sections": [_section(part, files) for part in section.sections],
    }


def _contents(document: Document) -> int:
    """How deep the contents go; 0 for none."""
    if pages_about(document) <= _SHORT:
        return 0
    return 2 if sum(1 + len(one.sections) for one in document.sections) <= _CONTENTS else 1


def set_document(document: Document, files: Files) -> Set:
    """All that the template needs to print the document."""
    width, height = PAPERS[document.paper]
    words = {name: say("pdf", name, language=document.language) for name in _WORDS}
    page_of = say(
        "pdf", "page_of", {"page": "{page}", "pages": "{pages}"}, language=document.language
    )
    return {
        "title": _fit(document.title, files.width, _TITLE, bold=True),
        "lines": [_fit(line, files.width) for line in document.lines],
        "running": _fit(document.running, files.width - _PAGE_OF, _FOOT),
        "contents": _contents(document),
        "mark": _fit(document.mark, files.width - _FRAME, bold=True),
        "language": document.language,
        "author": f"lapwright {lapwright.__version__}",
        "family": FAMILY,
        "size": _SIZE,
        "width": files.width,
        "height": height - 2 * _TOP,
        "side": (width - files.width) / 2,
        "top": _TOP,
        "words": words | {"page_of": page_of},
        "sections": [_section(section, files) for section in document.sections],
    }
