"""What a document says, block by block, in the reader's words; how it looks is the template's.

Everything is finished text: the same document always gives the same pages, and can be compared
word for word with one that somebody brings ten years later.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True)
class Words:
    """A paragraph.

    Parameters
    ----------
    text : str
        Of one paragraph.
    tone : {"plain", "caution", "small"}
        A caution is set apart; small print says where figures come from.
    """

    text: str
    tone: Literal["plain", "caution", "small"] = "plain"


@dataclass(frozen=True)
class Pairs:
    """Names with what each is: the head of a form.

    Parameters
    ----------
    rows : tuple of (str, str)
        Name and value.
    """

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Grid:
    """A table that may run over many pages; its head is repeated on each.

    Parameters
    ----------
    head : tuple of str
        Names of the columns.
    rows : tuple of tuple of str
        Cells, as many in each row as the head has.
    numbers : tuple of int
        Columns set to the right.
    wide : tuple of int
        Columns that take the width left over; the last one unless said.
    caption : str
        Above it.
    """

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numbers: tuple[int, ...] = ()
    wide: tuple[int, ...] = ()
    caption: str = ""


@dataclass(frozen=True)
class Listed:
    """A table too long for paper: it lies as CSV inside the file, the page says what and where.

    Parameters
    ----------
    text : str
        Of the page.
    grid : Grid
        The table; its caption says what is listed.
    file : str
        Name of the CSV.
    """

    text: str
    grid: Grid
    file: str


@dataclass(frozen=True)
class Picture:
    """A drawing or chart, as SVG.

    Parameters
    ----------
    svg : str
        Its text.
    alt : str
        What it shows, for who cannot see it.
    caption : str
        Below it.
    share : float
        Of the width of the page's text, up to 1.
    """

    svg: str
    alt: str
    caption: str = ""
    share: float = 1.0


@dataclass(frozen=True)
class Shot:
    """A photo of the record.

    Parameters
    ----------
    file : str
        SHA-256 of the kept file.
    alt : str
        What it was taken of.
    caption : str
        Below it.
    """

    file: str
    alt: str
    caption: str = ""


@dataclass(frozen=True)
class Shots:
    """Photos side by side."""

    shots: tuple[Shot, ...]


@dataclass(frozen=True)
class Signature:
    """Who signed what and when; or a line left open for ink.

    Parameters
    ----------
    rows : tuple of (str, str)
        Name and value.
    is_open : bool
        Nobody signed yet: a line is drawn for each name without a value.
    """

    rows: tuple[tuple[str, str], ...]
    is_open: bool = False


Block = Words | Pairs | Grid | Listed | Picture | Shots | Signature


@dataclass(frozen=True)
class Section:
    """A headed part of a document.

    Parameters
    ----------
    title : str
        Its heading.
    blocks : tuple of Block
        In order.
    sections : tuple of Section
        Parts below it, one level deep.
    new_page : bool
        Begins a page.
    """

    title: str
    blocks: tuple[Block, ...] = ()
    sections: tuple[Section, ...] = ()
    new_page: bool = False


@dataclass(frozen=True)
class Document:
    """A whole document.

    Parameters
    ----------
    title : str
        Of the first page and of the file.
    lines : tuple of str
        Below the title: job, place, day.
    running : str
        In small print on each page: job, day, head of the chain.
    language : {"en", "es"}
        It is written in.
    made_at : str
        Moment the file bears, ISO 8601: of the newest fact, never of the making.
    sections : tuple of Section
        In order.
    mark : str
        Across the head of each page, as "INVENTED EXAMPLE"; empty for none.
    paper : {"letter", "a4"}
        It is printed on.
    """

    title: str
    lines: tuple[str, ...]
    running: str
    language: Literal["en", "es"]
    made_at: str
    sections: tuple[Section, ...] = ()
    mark: str = ""
    paper: Literal["letter", "a4"] = "letter"
