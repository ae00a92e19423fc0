"""From the chain of a job to its PDF: pages, the record within, the same bytes each time."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from datetime import datetime
from importlib.metadata import version
from typing import cast

from lapwright import __version__
from lapwright.errors import LapwrightError
from lapwright.job.closing import Closeout, close_out
from lapwright.readings.decided import decided
from lapwright.readings.inforce import rules_of
from lapwright.readings.rules import parse_layer
from lapwright.record.attached import RECORD, record_json
from lapwright.record.chain import Entry
from lapwright.record.made import PAPER, Made
from lapwright.record.replay import Record
from lapwright.report.dossier.whole import dossier
from lapwright.report.figures import Reader
from lapwright.report.paper.blocks import Shots
from lapwright.report.paper.paper import Attachment, pdf_of
from lapwright.report.paper.photos import printed, side_of
from lapwright.report.paper.setting import blocks_of
from lapwright.units import UnitSystem
from lapwright.words import Language

Photos = Callable[[str], bytes | None]
Progress = Callable[[str, float], None]

_AT_ONCE = 4  # photos scaled side by side; each may need its whole picture in memory
UNREADABLE = "0" * 64  # stands for the print of a photo that is damaged
SETTERS = ("typst", "vl-convert-python", "pillow", "shapely", "numpy", "scipy")


@dataclass(frozen=True)
class Paper:
    """A PDF and what it says.

    Parameters
    ----------
    content : bytes
        The file.
    closeout : Closeout
        What its pages tell.
    """

    content: bytes
    closeout: Closeout


def versions() -> dict[str, str]:
    """Of the programs that the bytes of a page depend on."""
    return {"lapwright": __version__} | {name: version(name) for name in SETTERS}


def made_now(
    entries: Sequence[Entry],
    reader: Reader,
    *,
    day: str | None = None,
    rules: Sequence[tuple[str, str]] = (),
) -> Made:
    """How a paper of this chain is to be made here; its moment is that of the newest fact.

    Parameters
    ----------
    entries : sequence of Entry
        The whole chain of a job.
    reader : Reader
        Language and units.
    day : str, optional
        Only this day; the whole job unless said.
    rules : sequence of (str, str)
        Rule files laid on top of the record's: name and text.

    Raises
    ------
    LapwrightError
        ``job_unknown``: an empty chain. ``closeout_day``: nothing was recorded on that day.
    """
    if not entries:
        raise LapwrightError("job_unknown", job="-")
    days = sorted({entry.fact.day for entry in entries})
    if day is not None and day not in days:
        raise LapwrightError("closeout_day", day=day, known=", ".join(days[-10:]))
    newest = max((entry.fact for entry in entries), key=lambda fact: (fact.moment, fact.id))
    return Made(
        kind="job" if day is None else "day",
        day=day or "",
        language=reader.language,
        units=reader.units,
        at=newest.moment.isoformat(),
        rules=tuple(rules),
        versions=versions(),
    )


def make_paper(
    entries: Sequence[Entry],
    made: Made,
    *,
    photos: Photos,
    progress: Progress | None = None,
) -> Paper:
    """The pages of a chain, with the chain itself inside the file.

    Parameters
    ----------
    entries : sequence of Entry
        The whole chain of a job.
    made : Made
        For whom, of which day, by which rules; see :func:`made_now`.
    photos : callable
        Content of a photo by its SHA-256, as kept or as printed before; None when it has
        not come.
    progress : callable, optional
        Told what is being done, ``"photos"`` or ``"pages"``, and which share of it is.

    Raises
    ------
    LapwrightError, FileUnreadable
        ``chain_broken``; rule files that cannot be read; as
        :func:`~lapwright.report.paper.paper.pdf_of`.
    """
    tell = progress or (lambda _doing, _share: None)
    record = Record(entry.fact for entry in entries)
    at = datetime.fromisoformat(made.at)
    reader = Reader(cast(Language, made.language), cast(UnitSystem, made.units))
    layers = [parse_layer(text, file=name) for name, text in made.rules]
    closeout = close_out(
        record,
        at=at,
        rules=rules_of(record, at=at, extra=layers),
        day=made.day or None,
        entries=entries,
    )
    document = dossier(closeout, reader, kept=decided)
    shown = [block for block in blocks_of(document) if isinstance(block, Shots)]
    prints = _prints({shot.file for block in shown for shot in block.shots}, photos, tell)
    made = replace(made, photos={file: _named(each) for file, each in sorted(prints.items())})
    tell("pages", 0.0)
    content = pdf_of(document, photos=prints, attached=_attached(entries, made, reader))
    tell("pages", 1.0)
    return Paper(content, closeout)


def _prints(files: set[str], photos: Photos, tell: Progress) -> dict[str, bytes]:
    """Each photo that has come, small; empty where it is damaged."""
    prints, wanted, side = {}, sorted(files), side_of(len(files))

    def print_of(file: str) -> bytes | None:
        try:
            content = photos(file)
        except LapwrightError:  # kept, but no longer what its name says
            return b""
        return None if content is None else printed(content, side=side) or b""

    with ThreadPoolExecutor(_AT_ONCE) as pool:  # scaling needs no lock of the interpreter
        found = zip(wanted, pool.map(print_of, wanted), strict=True)
        for done, (file, content) in enumerate(found, 1):
            tell("photos", done / len(wanted))
            if content is not None:
                prints[file] = content
    return prints


def _named(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest() if content else UNREADABLE


def _attached(entries: Sequence[Entry], made: Made, reader: Reader) -> tuple[Attachment, ...]:
    said: Mapping[str, Callable[[], bytes]] = {
        RECORD: lambda: record_json(entries),
        PAPER: made.json,
    }
    return tuple(
        Attachment(
            name, content(), "application/json", "source", reader.say("pdf", name.partition(".")[0])
        )
        for name, content in said.items()
    )
