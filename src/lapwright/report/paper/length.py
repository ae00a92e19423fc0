"""About how many pages a document takes, before it is set: a long one begins with its contents.

The typesetter could tell exactly, but would set all pages twice to find out.
"""

from __future__ import annotations

from math import ceil

from lapwright.report.paper.blocks import (
    Block,
    Document,
    Grid,
    Listed,
    Pairs,
    Picture,
    Section,
    Shots,
    Signature,
    Words,
)

_LETTERS = 90  # in a line, about
_LINES = 50  # on a page
_HEAD = 3  # lines of a heading; of a table's head
_PICTURE = 22  # lines of a chart over the whole width
_SHOTS = 12  # lines of three photos side by side
_SIGNATURE = 3  # lines around what was signed


def _of_text(text: str) -> int:
    return max(1, ceil(len(text) / _LETTERS))


def _of_block(block: Block) -> float:
    match block:
        case Words():
            return 0.5 + _of_text(block.text)
        case Pairs():
            return sum(_of_text(value) for _, value in block.rows)
        case Signature():
            return _SIGNATURE + len(block.rows)
        case Grid():
            return _HEAD + sum(_of_text(" ".join(row)) for row in block.rows)
        case Listed():
            return 2
        case Picture():
            return 2 + _PICTURE * block.share
        case Shots():
            return _SHOTS * ceil(len(block.shots) / 3)


def _of_section(section: Section) -> float:
    within = sum(map(_of_block, section.blocks)) + sum(map(_of_section, section.sections))
    return _HEAD + within + (_LINES / 2 if section.new_page else 0)


def pages_about(document: Document) -> float:
    """Number of pages, right to a third or so.

    Examples
    --------
    >>> trace = Grid(("seam", "state"), (("S1", "probed"),) * 1000)
    >>> round(pages_about(Document("Job", (), "", "en", "", (Section("Trace", (trace,)),))))
    20
    """
    return sum(map(_of_section, document.sections)) / _LINES
