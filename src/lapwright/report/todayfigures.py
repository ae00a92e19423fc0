"""The crew's day as plain figures: what the page's today shows and the API answers."""

from __future__ import annotations

from lapwright.job.checking import Joint, ToProbe
from lapwright.job.crewday import CrewDay
from lapwright.job.welding import Standing
from lapwright.record.replay import Record
from lapwright.report.figures import Figures, Reader, caution_figures
from lapwright.report.recordfigures import (
    Told,
    because,
    defect_figures,
    run_figures,
    trigger_figures,
)


def today_figures(day: CrewDay, record: Record, reader: Reader) -> Figures:
    """The day in the reader's units and language.

    Parameters
    ----------
    day : CrewDay
        As it stands.
    record : Record
        Where names are looked up.
    reader : Reader
        Language and units.

    Returns
    -------
    dict
        JSON-ready; every key with a unit carries it as suffix. ``counts`` is what a sign-off
        freezes, in millimetres and numbers, the same for every reader.
    """
    told = Told(record, reader)
    return {
        "day": day.day,
        "at": day.at.isoformat(),
        "chains": [standing_figures(standing, told) for standing in day.standings],
        **told.lengths(
            welded=day.welded,
            orphan=day.length("orphan"),
            stale=day.length("stale"),
            set_aside=day.length("set_aside"),
            unprobed=day.length("unprobed"),
        ),
        "runs": [run_figures(run, told) for run in day.runs],
        "running": [run_figures(run, told) for run in day.trace.running],
        "to_probe": {
            **told.lengths(length=day.backlog.length),
            "oldest": None if day.backlog.oldest is None else day.backlog.oldest.isoformat(),
            "walks": [_walk_figures(walk, told) for walk in day.backlog.cool],
            "warm": [_walk_figures(walk, told) for walk in day.backlog.warm],
        },
        "defects": [defect_figures(each, told) for each in day.defects],
        "joints": [_joint_figures(each, reader) for each in day.open_joints],
        "unfinished": [{"id": weld.id, "number": weld["number"]} for weld in day.unfinished],
        "missing": [
            {"id": each.fact.id, "kind": each.fact.kind, "field": each.field}
            for each in day.missing
        ],
        "counts": day.counts,
        "cautions": caution_figures(day.cautions, reader),
    }


def standing_figures(standing: Standing, told: Told) -> Figures:
    """How one chain stands, with the banner that asks for a test; null where none is due."""
    reader, chain, trigger = told.reader, standing.chain, standing.test_again
    banner = None
    if trigger is not None:
        says = reader.say("today", "test_again", {"because": because(trigger, reader)})
        banner = {**trigger_figures(trigger, reader), "banner": says}
    asks = [{"code": name, "says": reader.say("ask", name)} for name in standing.asks]
    names = ", ".join(ask["says"] for ask in asks)
    passed, known = standing.passed, standing.known
    return {
        "chain": {
            "machine": chain.machine,
            "operator": chain.operator,
            "power_setup": chain.power_setup,
            "pairing": chain.pairing,
        },
        "machine": told.name(chain.machine),
        "operator": told.name(chain.operator),
        "test_again": banner,
        "due": [trigger_figures(each, reader) for each in standing.due],
        "set_aside": [
            {
                **trigger_figures(each, reader),
                "answer": fact["answer"],
                "answer_says": reader.say("today", fact["answer"]),
                "until": fact["until"],
            }
            for each, fact in standing.set_aside
        ],
        "asks": asks,
        "asks_says": reader.say("today", "say", {"names": names}) if asks else None,
        "out": [
            reader.say("today", code, {"machine": told.name(chain.machine),
                                       "operator": told.name(chain.operator)})
            for code, is_out in (("machine_out", standing.is_machine_out),
                                 ("operator_out", standing.is_operator_out))
            if is_out
        ],
        "last_pass": None
        if passed is None
        else {"id": passed.id, "number": passed["number"], "at": passed.at},
        "minutes_since": None if known.since_pass is None else round(known.since_pass / 60),
        **told.lengths(since=known.welded),
        "since_says": reader.say("today", "feet_since", {"length": known.welded}),
    }  # fmt: skip


def _walk_figures(walk: ToProbe, told: Told) -> Figures:
    return {
        "seam": walk.seam,
        **told.lengths(start=walk.span.start, end=walk.span.end),
        "welded": walk.welded.isoformat(),
        "cool_at": walk.cool_at.isoformat(),
    }


def _joint_figures(joint: Joint, reader: Reader) -> Figures:
    return {
        "number": joint.number,
        "id": None if joint.fact is None else joint.fact.id,
        "why_open": [{"code": why, "says": reader.say("why_open", why)} for why in joint.why_open],
    }
