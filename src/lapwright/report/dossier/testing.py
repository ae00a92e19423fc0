"""Test welds, the set points decided on them, and the window as it was decided, drawn."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from lapwright.job.closingday import ChainDay, Tested
from lapwright.job.decided import Decided, replayed
from lapwright.record.fact import Fact
from lapwright.record.work import SIGNS
from lapwright.report.charts import window_chart
from lapwright.report.dossier.telling import DASH, NARROW, Teller, clock
from lapwright.report.drawing import as_svg
from lapwright.report.paper.blocks import Block, Grid, Picture, Shot, Shots, Words
from lapwright.report.text import edge_text
from lapwright.window.answer import NO_SETTING
from lapwright.window.prior import Earlier
from lapwright.words import share

Kept = Callable[[Fact], Decided | None]
POINTS, SPEEDS = 48, 18  # cells of a map on paper
_SHARE = 0.72  # of the width; a map is read, not admired


@dataclass(frozen=True)
class Drawn:
    """How the windows of a dossier are drawn.

    Parameters
    ----------
    kept : callable
        The window that a decision carries; None where it carries none that can be read.
    most : int
        Pictures at most; the rest is told in words.
    with_photos : bool
        Photos are shown beside what they are of.
    """

    kept: Kept
    most: int
    with_photos: bool = True


def test_welds(teller: Teller, tested: Sequence[Tested]) -> Iterator[Block]:
    """One row a weld: setting, sky, strips, looks, verdict."""
    if not tested:
        return
    yield Grid(
        head=teller.heads(
            "number", "time", "set", "air_sheet", "purpose", "strips", "hot_look", "verdict"
        ),
        rows=tuple(_weld_row(teller, one) for one in tested),
        wide=(5, 6),
        caption=teller.say("test_welds"),
    )


def _weld_row(teller: Teller, tested: Tested) -> tuple[str, ...]:
    weld = tested.fact
    conditions = teller.record.get(weld["conditions"])
    sky = (
        teller.unknown
        if conditions is None
        else f"{teller.value(conditions, 'ambient')} / {teller.value(conditions, 'sheet')}"
    )
    return (
        str(weld["number"]),
        clock(weld.at),
        _set(teller, weld),
        sky,
        teller.value(weld, "purpose"),
        strips_text(teller, tested),
        looks_text(teller, tested),
        verdict_text(teller, tested),
    )


def _set(teller: Teller, weld: Fact) -> str:
    """As set; what was measured stands behind it."""
    text = teller.setting(weld)
    measured = [
        teller.value(weld, name)
        for name in ("measured_air", "measured_speed")
        if weld[name] is not None
    ]
    return f"{text} ({teller.say('measured', values=', '.join(measured))})" if measured else text


def strips_text(teller: Teller, tested: Tested) -> str:
    """Each strip: number, grade, fused width, force; a second look is marked."""
    told = []
    for strip in tested.strips:
        parts = [str(strip["number"]), teller.value(strip, "pull")]
        parts += [
            teller.value(strip, name) for name in ("band", "force") if strip[name] is not None
        ]
        more = []
        if strip["evenness"] not in (None, "full"):
            more.append(teller.value(strip, "evenness"))
        if strip["second_look"]:
            more.append(teller.reader.say("field", "second_look"))
        told.append(" ".join([NARROW.join(parts), *more]))
    return "; ".join(told) or teller.say("no_strips")


def looks_text(teller: Teller, tested: Tested) -> str:
    """What the hot looks saw: the corner, and each sign; not looked is not none."""
    heat = tested.result.heat or "unknown"
    seen = [
        teller.reader.say("field", sign)
        for sign in SIGNS
        if any(look[sign] for look in tested.looks)
    ]
    corners = [teller.value(look, "corner") for look in tested.looks if look["corner"] is not None]
    parts = [*dict.fromkeys(corners), ", ".join(seen) or teller.word("heat", heat)]
    return "; ".join(parts)


def verdict_text(teller: Teller, tested: Tested) -> str:
    """Passed, or why not."""
    verdict = teller.word("verdict", tested.result.verdict)
    reasons = ", ".join(teller.word("why_failed", each) for each in tested.result.reasons)
    return f"{verdict}: {reasons}" if reasons else verdict


def set_points(teller: Teller, chain: ChainDay, drawn: Drawn) -> Iterator[Block]:
    """The decisions as they were taken: what lapwright said then, and what was accepted.

    Where no window stood behind any of them, its columns are left out.
    """
    if not chain.decisions:
        return
    kept = [drawn.kept(one) for one in chain.decisions]
    window = ("bottom", "top", "p_sound") if any(kept) else ()
    yield Grid(
        head=teller.heads("time", "set_point", "test_welds", "said_then", *window, "by"),
        rows=tuple(
            _decision_row(teller, one, then, blanks=len(window))
            for one, then in zip(chain.decisions, kept, strict=True)
        ),
        wide=(3,),
        caption=teller.say("set_points"),
    )
    told: set[Earlier] = set()
    for decision in chain.decisions:
        then = drawn.kept(decision)
        earlier = then.question.earlier if then and then.question else None
        if earlier and earlier not in told:
            told.add(earlier)
            yield Words(_past_days(teller, decision, earlier))


def _past_days(teller: Teller, decision: Fact, earlier: Earlier) -> str:
    reader = teller.reader
    reach = earlier.reach
    return teller.say(
        "past_days",
        time=clock(decision.at),
        bottom=reader.write("air", earlier.bottom),
        width=reader.write("margin", earlier.width),
        bottom_give=reader.write("margin", reach[0]),
        width_give=reader.write("margin", reach[1]),
    )


def _decision_row(
    teller: Teller, decision: Fact, then: Decided | None, *, blanks: int
) -> tuple[str, ...]:
    reader = teller.reader
    setting = teller.setting(decision)
    if decision["load"] is not None:
        setting += f", {teller.value(decision, 'load')}"
    if not decision["accepted"]:
        setting += f" ({teller.say('not_accepted')})"
    by = teller.name(decision.by)
    if decision["reason"] is not None:
        by += f" ({teller.value(decision, 'reason')})"
    told = (clock(decision.at), setting, teller.value(decision, "test_welds") or DASH)
    if then is None:
        return (*told, teller.say("not_worked_out"), *[DASH] * blanks, by)
    has_none = then.p_sound is None or then.verdict in NO_SETTING
    said = reader.say("verdict", then.verdict)
    if decision["worked_out"] == "phone":
        said += f" ({teller.value(decision, 'worked_out')})"
    return (
        *told,
        said,
        edge_text(then.bottom, reader),
        edge_text(then.top, reader),
        DASH if has_none else share(then.p_sound or 0.0, reader.language),
        by,
    )


def window_pictures(teller: Teller, chain: ChainDay, drawn: Drawn) -> Iterator[Block]:
    """The window behind the newest set point that carries its answer.

    Notes
    -----
    The map is not kept: it is drawn from the question that was, and only where working that
    out again gives the very answer that was kept. Where it does not, that is said.
    """
    for decision in reversed(chain.decisions):
        then = drawn.kept(decision)
        if then is None or then.question is None:
            continue
        morning = replayed(then)
        if morning is None:
            yield Words(teller.say("not_replayed", version=then.version), tone="caution")
            return
        picture = morning.picture(points=POINTS, speeds=SPEEDS)
        spec = window_chart(morning.answer(), picture, teller.reader)
        caption = teller.say("window_of", time=clock(decision.at), version=then.version)
        yield Picture(as_svg(spec), alt=_alt(teller, then), caption=caption, share=_SHARE)
        return


def _alt(teller: Teller, then: Decided) -> str:
    reader = teller.reader
    return teller.say(
        "window_alt",
        verdict=reader.say("verdict", then.verdict),
        bottom=edge_text(then.bottom, reader),
        top=edge_text(then.top, reader),
    )


def photos(teller: Teller, *facts: Fact) -> Iterator[Block]:
    """Photos of some facts, side by side."""
    shots = tuple(
        Shot(photo["file"], alt=_photo_says(teller, fact), caption=_photo_says(teller, fact))
        for fact in facts
        for photo in teller.closeout.photos.get(fact.id, ())
    )
    if shots:
        yield Shots(shots)


def _photo_says(teller: Teller, fact: Fact) -> str:
    kind = teller.reader.say("kind", fact.kind)
    number = fact["number"] or fact["seam"] or ""
    return f"{kind} {number}, {fact.day} {clock(fact.at)}".replace(" ,", ",")
