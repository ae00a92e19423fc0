"""The whole record of a job as one JSON file, as a paper carries it with it.

One entry stands on each line, in the canonical form of RFC 8785, so that the chain can be
checked line by line, by anybody, without reading the whole file at once. The same chain gives
the same bytes.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator

from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.record.canonical import canonical_json
from lapwright.record.chain import Entry, canonical
from lapwright.record.fact import read_fact
from lapwright.record.ledger import Head

RECORD = "record.json"  # name of the attachment
FORMAT = "lapwright record"
VERSION = 1
_HASH = b',"hash":"%b"'


def record_json(entries: Iterable[Entry]) -> bytes:
    """The file of a chain, every link checked on the way.

    Parameters
    ----------
    entries : iterable of Entry
        All of one job, in the order of the chain.

    Raises
    ------
    LapwrightError
        ``chain_broken``; ``job_unknown`` when there is no entry.
    """
    head = Head("")
    content = bytearray()
    for entry in entries:
        if head.seq == 0:
            head = Head(entry.fact.job)
            content += _first(head.job)
        else:
            content += b",\n"
        content += _line(entry, head)
        head = Head(head.job, entry.seq, entry.hash)
    if head.seq == 0:
        raise LapwrightError("job_unknown", job="-")
    content += _last(head)
    return bytes(content)


def read_record(content: bytes, *, name: str) -> Iterator[Entry]:
    """Entries of the file, each checked as a fact and as a link of the chain.

    Parameters
    ----------
    content : bytes
        As :func:`record_json` made it; nothing else is taken, not even other spaces.
    name : str
        What the person calls the file that carries it.

    Raises
    ------
    FileUnreadable
        ``paper_record``, with the line.
    LapwrightError
        ``chain_broken``; as :func:`~lapwright.record.fact.read_fact`, for a fact that is none
        or that a later lapwright kept.
    """
    at = content.find(b"\n") + 1
    head = Head(_job(content[:at], name=name))
    row, more = 1, True
    while more:
        row, end = row + 1, content.find(b"\n", at)
        said = content[at:end]
        line = said.removesuffix(b",")
        more = line != said
        entry = _entry(line, name=name, row=row)
        if end < 0 or _line(entry, head) != line:
            raise FileUnreadable("paper_record", file=name, row=row)
        head = Head(head.job, entry.seq, entry.hash)
        at = end + 1
        yield entry
    if content[at - 1 :] != _last(head):
        raise FileUnreadable("paper_record", file=name, row=row + 1)


def _job(line: bytes, *, name: str) -> str:
    try:
        job = str(json.loads(line + b"]}")["job"])
    except (KeyError, TypeError, ValueError, RecursionError):
        job = ""
    if line != _first(job):
        raise FileUnreadable("paper_record", file=name, row=1)
    return job


def _entry(line: bytes, *, name: str, row: int) -> Entry:
    try:
        raw = json.loads(line)
        entry = Entry(**{**raw, "fact": read_fact(raw["fact"])})
        texts = (entry.received_at, entry.before, entry.hash)
        if type(entry.seq) is int and all(type(text) is str and text.encode() for text in texts):
            return entry
    except (KeyError, TypeError, ValueError, RecursionError):
        pass
    raise FileUnreadable("paper_record", file=name, row=row)


def _line(entry: Entry, head: Head) -> bytes:
    """Canonical form of an entry behind a head; what it seals is the same without the hash."""
    fact = entry.fact
    before, own = entry.before.encode(), entry.hash.encode()
    said = [b'{"before":"%b","fact":' % before, canonical(fact)]
    rest = b',"received_at":%b,"seq":%d}' % (canonical_json(entry.received_at), entry.seq)
    sealed = hashlib.sha256(b"".join([*said, rest])).hexdigest()
    fits = (entry.before, entry.seq, fact.job) == (head.hash, head.seq + 1, head.job)
    if sealed != entry.hash or not fits:
        raise LapwrightError("chain_broken", at=head.seq + 1, fact=fact.id)
    return b"".join([*said, _HASH % own, rest])


def _first(job: str) -> bytes:
    label = canonical_json({"format": FORMAT, "job": job, "version": VERSION})
    return label[:-1] + b',"entries":[\n'


def _last(head: Head) -> bytes:
    return b'\n],"head":%b}\n' % canonical_json({"hash": head.hash, "seq": head.seq})
