"""The trace in plain words: one seam foot by foot, or what is not proved on all of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from rich.text import Text

from lapwright.proof.trace import Stretch, Trace
from lapwright.record.replay import Record
from lapwright.report.figures import Reader
from lapwright.report.recordfigures import Told
from lapwright.roof.station import Span

_TONES = {"bare": "dim", "orphan": "bold red", "stale": "bold red", "open_defect": "bold red"}


def trace_text(
    trace: Trace,
    record: Record,
    reader: Reader,
    *,
    seam: str | None = None,
    station: float | None = None,
) -> Text:
    """A seam, one place of it, or every stretch of the job that lacks something.

    Parameters
    ----------
    trace : Trace
        Of the whole job.
    record : Record
        Where names are looked up.
    reader : Reader
        Language and units.
    seam : str, optional
        Only this seam, with the story of each stretch.
    station : float, optional
        Only the stretch at this place. [m]
    """
    told, text = Told(record, reader), Text()
    if _is_invented(record):
        text.append(reader.say("trace", "invented") + "\n", style="italic")
    for name, stretches in trace.seams.items():
        if seam is not None and name == seam:
            chosen = [one for one in stretches if station is None or one.span.has(station)]
            text.append_text(_seam_text(name, chosen, told, is_told=True))
        elif seam is None:
            lacking = [one for one in _joined(stretches) if one.states]
            text.append_text(_seam_text(name, lacking, told, is_told=False))
    if seam is None:
        text.append_text(_totals(trace, told))
    return text


def _joined(stretches: Sequence[Stretch]) -> list[Stretch]:
    """Neighbours that lack the same told as one."""
    joined: list[Stretch] = []
    for one in stretches:
        last = joined[-1] if joined else None
        if last is not None and last.states == one.states and last.span.end == one.span.start:
            joined[-1] = replace(last, span=Span(last.span.start, one.span.end))
        else:
            joined.append(one)
    return joined


def _is_invented(record: Record) -> bool:
    job = record.latest("job")
    return job is not None and bool(job["invented"])


def _seam_text(name: str, stretches: list[Stretch], told: Told, *, is_told: bool) -> Text:
    text = Text()
    if not stretches:
        return text
    text.append(told.reader.say("trace", "title", {"seam": name}) + "\n", style="bold")
    for stretch in stretches:
        start, end = told.station(stretch.span.start), told.station(stretch.span.end)
        text.append("  " + told.reader.say("trace", "from_to", {"start": start, "end": end}) + ": ")
        states = stretch.states or ("sound",)
        for number, state in enumerate(states):
            text.append(", " if number else "")
            text.append(told.reader.say("state", state), style=_TONES.get(state, ""))
        text.append("\n")
        for line in _story(stretch, told) if is_told else ():
            text.append(f"      {line}\n")
    return text


def _story(stretch: Stretch, told: Told) -> Iterator[str]:
    """Who, with what, on which test welds, in which weather, and what was found since."""
    run, backing, reader = stretch.run, stretch.backing, told.reader
    if run is not None and backing is not None:
        who = {"operator": told.name(run.run["operator"]), "machine": told.name(run.run["machine"])}
        yield reader.say("trace", "by", {**who, "time": f"{run.began:%Y-%m-%d %H:%M}"})
        setting = run.run if run.run["air"] is not None else backing.decision
        air, speed = told.measure(setting, "air"), told.measure(setting, "speed")
        if air and speed:
            yield reader.say("trace", "setting", {"air": air, "speed": speed})
        if backing.why_orphan is not None:
            yield reader.say("why_orphan", backing.why_orphan)
        if backing.test_welds:
            welds = ", ".join(str(weld["number"]) for weld in backing.test_welds)
            yield reader.say("trace", "behind", {"welds": welds})
        if backing.conditions is not None:
            unknown = reader.say("today", "nobody")
            met = {
                name: told.measure(backing.conditions, name) or unknown
                for name in ("ambient", "sheet")
            }
            yield reader.say("trace", "met", met)
    if stretch.late is not None:
        why = " ".join(reader.say("trigger", name) for name in stretch.late.triggers)
        yield reader.say("trace", "late", {"time": f"{stretch.late.since:%H:%M}", "why": why})
    if stretch.under:
        yield reader.say("trace", "over", {"count": len(stretch.under)})
    if stretch.probed is not None:
        prober = told.name(stretch.probed["prober"])
        time = f"{stretch.probed.moment:%Y-%m-%d %H:%M}"
        yield reader.say("trace", "probed", {"prober": prober, "time": time})
    for cut in stretch.cuts:
        yield reader.say("trace", "cut", {"number": cut["number"]})
    for each in stretch.defects:
        is_closed = each.why_open is None
        state = (
            reader.say("trace", "closed")
            if is_closed
            else reader.say("why_open", each.why_open or "")
        )
        kind = reader.say("defect", each.defect["type"])
        data = {"number": each.defect["number"], "type": kind, "state": state}
        yield reader.say("trace", "defect", data)


def _totals(trace: Trace, told: Told) -> Text:
    reader, text = told.reader, Text()
    if not any(trace.seams.values()):
        text.append(reader.say("trace", "nothing") + "\n")
        return text
    text.append(reader.say("trace", "totals") + "\n", style="bold")
    for state, length in trace.lengths().items():
        if length > 0:
            text.append(f"  {reader.write('length', length)}: ")
            text.append(reader.say("state", state) + "\n", style=_TONES.get(state, ""))
    if trace.running:
        runs = ", ".join(f"{run.seam} {run.began:%H:%M}" for run in trace.running)
        text.append(reader.say("trace", "running", {"runs": runs}) + "\n")
    return text
