"""The close-out record of a job, and the day sheet of one day, as documents."""

from __future__ import annotations

from lapwright.cautions import Caution
from lapwright.job.closing import Closeout
from lapwright.report.dossier.changes import changes, signing
from lapwright.report.dossier.counting import counting
from lapwright.report.dossier.cover import cover, moment
from lapwright.report.dossier.crew import crew, rules
from lapwright.report.dossier.cutting import cutting
from lapwright.report.dossier.days import day_section, days
from lapwright.report.dossier.probing import probing
from lapwright.report.dossier.seammap import seam_map
from lapwright.report.dossier.seams import seams
from lapwright.report.dossier.telling import Teller, when
from lapwright.report.dossier.testing import Drawn, Kept
from lapwright.report.figures import Reader
from lapwright.report.paper.blocks import Block, Document, Section, Words

MOST_PICTURES = 40  # windows drawn in one document; some 0.2 s and 0.2 MB each


def dossier(
    closeout: Closeout,
    reader: Reader,
    *,
    kept: Kept,
    with_photos: bool = True,
    most_pictures: int = MOST_PICTURES,
) -> Document:
    """What the close-out says: the whole job, or the sheet of the one day asked for.

    Parameters
    ----------
    closeout : Closeout
        As it stands.
    reader : Reader
        Language and units.
    kept : callable
        The window that a decision carries; see :func:`lapwright.readings.decided.decided`.
    with_photos : bool
        Photos beside what they are of.
    most_pictures : int
        Windows that are drawn; all others are told in the tables.
    """
    teller = Teller(closeout, reader)
    drawn = Drawn(kept, most_pictures, with_photos)
    is_day = closeout.day is not None
    sections = _day(teller, drawn) if is_day else _job(teller, drawn)
    job = teller.record.latest("job")
    name = teller.unknown if job is None else str(job["name"])
    head = "" if closeout.head is None else closeout.head.hash[:16]
    at = moment(teller)
    return Document(
        title=teller.say("day_sheet" if is_day else "close_out"),
        lines=tuple(
            line
            for line in (
                name,
                "" if job is None else str(job["place"] or ""),
                closeout.day or "",
                teller.say("stood", time=when(at)),
            )
            if line
        ),
        running=teller.say("running", job=name, day=closeout.day or at[:10], head=head),
        language=reader.language,
        made_at=at,
        sections=sections,
        mark=teller.say("invented") if job is not None and job["invented"] else "",
        paper="a4" if reader.units == "metric" else "letter",
    )


def _job(teller: Teller, drawn: Drawn) -> tuple[Section, ...]:
    return (
        cover(teller),
        seam_map(teller),
        *days(teller, drawn),
        seams(teller),
        probing(teller, with_photos=drawn.with_photos),
        cutting(teller, with_photos=drawn.with_photos),
        counting(teller),
        crew(teller),
        rules(teller),
        changes(teller),
        signing(teller),
        cautions(teller),
    )


def _day(teller: Teller, drawn: Drawn) -> tuple[Section, ...]:
    """A few pages: what belongs to the whole job is left out."""
    (day,) = teller.closeout.days
    return (
        cover(teller),
        day_section(teller, day, drawn, most=drawn.most),
        seams(teller),
        probing(teller, with_photos=drawn.with_photos),
        *([cutting(teller, with_photos=drawn.with_photos)] if day.cuts else []),
        changes(teller),
        signing(teller),
        cautions(teller),
    )


def cautions(teller: Teller) -> Section:
    """Doubts about the record, then what always holds."""
    reader = teller.reader
    own = dict.fromkeys(_said(reader, one) for one in teller.closeout.work.cautions)
    always = [teller.say(code) for code in ("limits_1", "limits_2", "limits_3", "limits_4")]
    blocks: list[Block] = [Words(text, tone="caution") for text in own]
    blocks += [Words(text) for text in always]
    return Section(teller.say("cautions"), tuple(blocks))


def _said(reader: Reader, caution: Caution) -> str:
    return reader.say("caution", caution.code, caution.data)
