"""A paper comes back in: the files attached to a PDF, and where each of its revisions ends.

What lies in the file is taken as it stands; whether it fits together is judged elsewhere.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING, Any

from lapwright.errors import FileUnreadable

if TYPE_CHECKING:
    from pyhanko.pdf_utils.reader import PdfFileReader

START = b"%PDF-"
_END = b"%%EOF"
_MOST_NODES = 10_000  # of the tree of attachments
# What a reader of damaged files meets; anything else is a mistake of this program.
_DAMAGED = (
    ArithmeticError, AssertionError, AttributeError, EOFError, LookupError, MemoryError,
    NotImplementedError, OSError, RecursionError, TypeError, ValueError, zlib.error,
)  # fmt: skip


@dataclass(frozen=True)
class Paper:
    """A PDF with what is attached to it.

    Parameters
    ----------
    content : bytes
        All of it.
    attached : dict
        Files by name.
    first : int
        Length of the first revision: as it was made, before anything was added.
    revisions : int
        How often it was saved.
    """

    content: bytes
    attached: dict[str, bytes]
    first: int
    revisions: int


def read_paper(content: bytes, *, name: str) -> Paper:
    """The parts of a PDF.

    Raises
    ------
    FileUnreadable
        ``paper_damaged``.
    """
    with opened_pdf(content, name=name) as reader:
        attached = {file: _file(spec) for file, spec in _specs(reader)}
        start = reader.xrefs.get_startxref_for_revision(0)
        first = content.index(_END, start) + len(_END)
        return Paper(content, attached, first, reader.total_revisions)


@contextmanager
def opened_pdf(content: bytes, *, name: str) -> Iterator[PdfFileReader]:
    """A PDF by its parts, read strictly, so that two readers cannot see two different files.

    Raises
    ------
    FileUnreadable
        ``paper_damaged``: also for whatever is met within.
    """
    from pyhanko.pdf_utils.misc import PdfError
    from pyhanko.pdf_utils.reader import PdfFileReader

    if not content.rstrip(b"\r\n").endswith(_END):
        raise FileUnreadable("paper_damaged", file=name)
    try:
        yield PdfFileReader(BytesIO(content), strict=True)
    except FileUnreadable:
        raise
    except (PdfError, *_DAMAGED):
        raise FileUnreadable("paper_damaged", file=name) from None


def _specs(reader: PdfFileReader) -> Iterator[tuple[str, Any]]:
    """Each attachment with its name."""
    names = reader.root.get("/Names", {}).get("/EmbeddedFiles")
    left = [] if names is None else [names]
    for _ in range(_MOST_NODES):
        if not left:
            return
        node = left.pop().get_object()
        left += [kid.get_object() for kid in node.get("/Kids", ())]
        pairs = list(node.get("/Names", ()))
        yield from ((str(spec.get_object()["/UF"]), spec.get_object()) for spec in pairs[1::2])
    raise ValueError("no end of the tree of attachments")


def _file(spec: Any) -> bytes:
    return bytes(spec["/EF"]["/F"].data)
