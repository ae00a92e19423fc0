"""The probe log: who walked where, what was found, who mended it, who probed again; T-joints.

A few hundred closed defects are told one by one. More would be a paper that nobody reads: then
each seam tells what was found on it and how that was closed, and a table inside the file has
every single one. Of a long job the same holds for the walks, which the trace tells too.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from lapwright.job.checking import Joint
from lapwright.proof.probing import Mended, span_of
from lapwright.record.fact import Fact
from lapwright.report.dossier.telling import DASH, Teller, when
from lapwright.report.dossier.testing import photos
from lapwright.report.paper.blocks import Block, Grid, Listed, Section, Words
from lapwright.roof.station import Span

_NAMED = 60  # T-joints named one by one; more are counted
_TOLD = 60  # open defects of other days that a day's sheet tells one by one
_MOST = 500  # closed defects told one by one on paper; some 30 pages
_WALKS, _DEFECTS = "walks.csv", "defects.csv"


def probing(teller: Teller, *, with_photos: bool) -> Section:
    """Walks, defects with their repairs, T-joints."""
    blocks: list[Block] = [*_walks(teller)]
    found = [each for each in teller.closeout.work.defects if _is_own(teller, each)]
    before = [
        each for each in teller.closeout.work.defects if each.is_open and not _is_own(teller, each)
    ]
    if len(before) <= _TOLD:
        found += before
    blocks += _defects(teller, found)
    if len(before) > _TOLD:
        blocks.append(Words(teller.say("defects_before", count=len(before))))
    if with_photos:
        for each in found:
            blocks += photos(teller, each.defect, *each.repairs, *each.reprobes)
    parts = [part for part in (_joints(teller),) if part is not None]
    is_job = teller.closeout.day is None
    return Section(teller.say("probing"), tuple(blocks), tuple(parts), new_page=is_job)


def _is_own(teller: Teller, mended: Mended) -> bool:
    """A day's own is what was found, mended or probed again on it; a job's is all."""
    return any(map(teller.is_asked, (mended.defect, *mended.repairs, *mended.reprobes)))


def _walks(teller: Teller) -> Iterator[Block]:
    """Walks of one prober over one seam on one day are one line where they touch."""
    walks = [fact for fact in teller.record.all("probe") if teller.is_asked(fact)]
    if not walks:
        yield Words(teller.say("no_walks"))
        return
    joined: list[tuple[Fact, Span]] = []
    for fact in sorted(walks, key=lambda one: (one.day, one["seam"], one["prober"], span_of(one))):
        span = span_of(fact)
        if joined and _is_one(joined[-1][0], fact) and span.start <= joined[-1][1].end:
            first, before = joined[-1]
            joined[-1] = first, Span(before.start, max(before.end, span.end))
        else:
            joined.append((fact, span))
    grid = Grid(
        head=teller.heads("seam", "from_to", "when", "prober", "found"),
        rows=tuple(
            (
                str(fact["seam"]),
                teller.span(span),
                when(fact.at),
                teller.name(fact["prober"]),
                teller.value(fact, "result"),
            )
            for fact, span in joined
        ),
        caption=teller.say("walks"),
    )
    if teller.is_long:
        yield Listed(teller.say("walks_listed", count=len(joined), file=_WALKS), grid, _WALKS)
    else:
        yield grid


def _is_one(one: Fact, other: Fact) -> bool:
    names = ("seam", "prober", "result")
    return one.day == other.day and all(one[name] == other[name] for name in names)


def _defects(teller: Teller, found: Sequence[Mended]) -> Iterator[Block]:
    if not found:
        yield Words(teller.say("no_defects"))
        return
    closed = [each for each in found if not each.is_open]
    if len(closed) <= _MOST:
        yield _one_by_one(teller, found)
        return
    if len(closed) < len(found):
        yield _one_by_one(teller, [each for each in found if each.is_open])
    yield _by_seam(teller, closed)
    text = teller.say("defects_listed", count=len(found), file=_DEFECTS)
    yield Listed(text, _one_by_one(teller, found), _DEFECTS)


def _one_by_one(teller: Teller, found: Iterable[Mended]) -> Grid:
    return Grid(
        head=teller.heads("number", "place", "defect", "found_by", "repaired", "reprobed", "state"),
        rows=tuple(_defect_row(teller, each) for each in found),
        wide=(4, 5),
        caption=teller.say("defects"),
    )


def _by_seam(teller: Teller, closed: Iterable[Mended]) -> Grid:
    """How many of each type were closed on a seam, by what, and when the last one was."""
    seams: dict[str, list[Mended]] = {}
    for each in closed:
        seams.setdefault(each.defect["seam"], []).append(each)

    def row(seam: str, own: Sequence[Mended]) -> tuple[str, ...]:
        types = Counter(teller.value(each.defect, "type") for each in own)
        repairs = [fact for each in own for fact in each.repairs]
        methods = Counter(teller.value(fact, "method") for fact in repairs)
        last = max(fact.at for each in own for fact in (each.defect, *each.reprobes))
        return (seam, str(len(own)), _counted(types), _counted(methods), when(last))

    return Grid(
        head=teller.heads("seam", "closed", "defect", "repaired", "last_closed"),
        rows=tuple(row(seam, own) for seam, own in sorted(seams.items())),
        numbers=(1,),
        wide=(2, 3),
        caption=teller.say("defects_by_seam"),
    )


def _counted(words: Counter[str]) -> str:
    """The most frequent first."""
    told = sorted(words.items(), key=lambda item: (-item[1], item[0]))
    return ", ".join(f"{count} {word}" for word, count in told) or DASH


def _defect_row(teller: Teller, mended: Mended) -> tuple[str, ...]:
    defect = mended.defect
    repairs = [
        teller.say(
            "repaired",
            method=teller.value(fact, "method"),
            size=teller.value(fact, "size"),
            operator=teller.name(fact["operator"]),
            time=when(fact.at),
        )
        for fact in mended.repairs
    ]
    reprobes = [
        teller.say(
            "reprobed",
            result=teller.value(fact, "result"),
            prober=teller.name(fact["prober"]),
            time=when(fact.at),
        )
        for fact in mended.reprobes
    ]
    state = (
        teller.reader.say("trace", "closed")
        if mended.why_open is None
        else teller.reader.say("why_open", mended.why_open)
    )
    length = teller.value(defect, "length")
    return (
        str(defect["number"]),
        f"{defect['seam']} {teller.value(defect, 'station')}",
        f"{teller.value(defect, 'type')} ({length})",
        f"{teller.value(defect, 'found_by')}, {teller.name(defect.by)}, {when(defect.at)}",
        "; ".join(repairs) or DASH,
        "; ".join(reprobes) or DASH,
        state,
    )


def _joints(teller: Teller) -> Section | None:
    joints = teller.closeout.work.joints
    day = teller.closeout.day
    told = [one for one in joints if one.fact is not None and teller.is_asked(one.fact)]
    silent = [one.number for one in joints if one.fact is None]
    if not told and (day is not None or not silent):
        return None
    blocks: list[Block] = []
    if told:
        blocks.append(
            Grid(
                head=teller.heads("number", "when", "creased", "patched", "probed", "state"),
                rows=tuple(_joint_row(teller, one) for one in told),
                wide=(5,),
            )
        )
    if silent and day is None:
        names = ", ".join(silent[:_NAMED]) + (" …" if len(silent) > _NAMED else "")
        blocks.append(Words(teller.say("joints_silent", count=len(silent), names=names)))
    return Section(teller.say("joints"), tuple(blocks))


def _joint_row(teller: Teller, joint: Joint) -> tuple[str, ...]:
    fact = joint.fact
    assert fact is not None
    patch = teller.value(fact, "patched")
    if fact["patch_size"] is not None:
        patch += f", {teller.value(fact, 'patch_size')}"
    why = ", ".join(teller.reader.say("why_open", each) for each in joint.why_open)
    return (
        joint.number,
        when(fact.at),
        teller.value(fact, "creased"),
        patch,
        teller.value(fact, "result"),
        why or teller.reader.say("trace", "closed"),
    )
