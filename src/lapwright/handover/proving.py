"""A PDF years later: is its record whole, do its pages come from it, who signed it?"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Sequence
from dataclasses import dataclass

from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.handover.making import UNREADABLE, make_paper, versions
from lapwright.readings.paper import read_paper
from lapwright.readings.signature import Sealed, read_signature
from lapwright.record.attached import RECORD, read_record
from lapwright.record.made import PAPER, Made, read_made
from lapwright.report.paper.photos import Printed
from lapwright.store.check import Chain, Checked

_PICTURE = re.compile(rb"stream\r?\n(?=\xff\xd8\xff)")


@dataclass(frozen=True)
class Proved:
    """A paper in which nothing was found that does not fit.

    Parameters
    ----------
    made : Made
        How its pages came about.
    checked : Checked
        The chain inside it.
    others : tuple of str
        Programs that had another version when the paper was made: then the same pages cannot
        be made here and were not compared. Empty when they were, and are the same.
    sealed : Sealed or None
        The signature that fits; None where nobody signed.
    """

    made: Made
    checked: Checked
    others: tuple[str, ...]
    sealed: Sealed | None

    @property
    def is_compared(self) -> bool:
        """The pages were made again, and are the same to the last bit."""
        return not self.others


def prove_paper(
    content: bytes, *, name: str, noted: str = "", trusted: Sequence[bytes] = ()
) -> Proved:
    """Everything that a paper proves by itself.

    Parameters
    ----------
    content : bytes
        Of the PDF.
    name : str
        What the person calls it.
    noted : str
        A hash to look for in its chain.
    trusted : sequence of bytes
        Certificates of the signer or of who vouches for them. X.509, DER.

    Returns
    -------
    Proved

    Raises
    ------
    FileUnreadable
        ``paper_lacks``: no record is attached. ``paper_pages``: the pages do not come from it.
        As :func:`~lapwright.readings.paper.read_paper`,
        :func:`~lapwright.readings.signature.read_signature`,
        :func:`~lapwright.record.made.read_made`.
    LapwrightError
        As :func:`~lapwright.record.attached.read_record`.
    """
    paper = read_paper(content, name=name)
    for part in (RECORD, PAPER):
        if part not in paper.attached:
            raise FileUnreadable("paper_lacks", file=name, part=part)
    sealed = read_signature(paper, name=name, trusted=trusted)
    made = read_made(paper.attached[PAPER], name=name)
    entries = list(read_record(paper.attached[RECORD], name=name))
    chain = Chain(entries[0].fact.job, noted=noted)
    entries = list(chain.follow(entries))
    now = versions()
    others = tuple(sorted(
        program for program in now.keys() | made.versions.keys()
        if now.get(program) != made.versions.get(program)
    ))  # fmt: skip
    if not others:
        prints = _prints(content, made)
        try:
            again = make_paper(entries, made, photos=prints.get).content
        except (LapwrightError, ValueError):  # what it was made with was altered
            again = b""
        if again.rstrip() != content[: paper.first].rstrip():
            raise FileUnreadable("paper_pages", file=name)
    return Proved(made, chain.checked(set()), others, sealed)


def _prints(content: bytes, made: Made) -> dict[str, bytes]:
    """Photos as they stand on the pages, by the hash of the file that was kept."""
    found: dict[str, bytes] = {UNREADABLE: b""}
    for start in _PICTURE.finditer(content):
        end = content.find(b"endstream", start.end())
        for last in (end, end - 1, end - 2):  # the line end before it is not the picture's
            picture = content[start.end() : last]
            found[hashlib.sha256(picture).hexdigest()] = Printed(picture)
    return {kept: found[small] for kept, small in made.photos.items() if small in found}
