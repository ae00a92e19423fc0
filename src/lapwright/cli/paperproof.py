"""``lapwright verify FILE.pdf``: what a paper proves by itself, line by line."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import click

from lapwright.errors import FileUnreadable
from lapwright.handover.keys import fingerprint
from lapwright.handover.proving import Proved, prove_paper
from lapwright.readings.paper import START
from lapwright.readings.signature import Sealed, read_certificates
from lapwright.readings.text import load
from lapwright.report.figures import Reader


def is_paper(file: str) -> bool:
    """Whether a file begins as a PDF does."""
    try:
        return load(Path(file), file=file, limit=len(START)).startswith(START)
    except FileUnreadable:
        return False


def say_paper(file: str, reader: Reader, *, noted: str = "", trust: str | None = None) -> Proved:
    """Check a paper and say what holds.

    Raises
    ------
    FileUnreadable, LapwrightError
        As :func:`~lapwright.handover.proving.prove_paper`.
    """
    trusted = () if trust is None else read_certificates(load(Path(trust), file=trust), name=trust)
    content = load(Path(file), file=file, limit=None)
    proved = prove_paper(content, name=file, noted=noted, trusted=trusted)
    for line in _lines(proved, file, reader):
        click.echo(line)
    return proved


def _lines(proved: Proved, file: str, reader: Reader) -> Iterator[str]:
    head = proved.checked.head
    yield reader.say("proof", "chain", {"file": file, "entries": head.seq, "hash": head.hash})
    if proved.checked.sign_offs:
        unmatched = len(proved.checked.unmatched)
        code = "heads_differ" if unmatched else "heads_fit"
        count = unmatched or proved.checked.sign_offs
        yield reader.say("proof", code, {"count": count})
    if proved.is_compared:
        yield reader.say("proof", "pages_same")
    else:
        programs = ", ".join(
            f"{name} {proved.made.versions.get(name, '-')}" for name in proved.others
        )
        yield reader.say("proof", "pages_not_compared", {"programs": programs})
    yield from _signature(proved.sealed, reader)


def _signature(sealed: Sealed | None, reader: Reader) -> Iterator[str]:
    if sealed is None:
        yield reader.say("proof", "unsigned")
        return
    at = "-" if sealed.at is None else sealed.at.isoformat(timespec="seconds")
    yield reader.say("proof", "signed", {"holder": sealed.holder, "time": at})
    yield reader.say("proof", "fingerprint", {"print": fingerprint(sealed.certificate)})
    if sealed.is_vouched:
        yield reader.say("proof", "vouched")
    else:
        yield reader.say("proof", "self_made" if sealed.is_self_made else "not_vouched")
    if not sealed.in_term:
        yield reader.say("proof", "out_of_term")
