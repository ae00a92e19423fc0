"""The record in the reader's words: who is who, a trigger with its figure, a stretch of seam."""

from __future__ import annotations

from dataclasses import dataclass

from lapwright.job.change import Trigger
from lapwright.proof.probing import Mended
from lapwright.proof.runs import Welded
from lapwright.proof.trace import Stretch, Trace
from lapwright.record.fact import Fact, si
from lapwright.record.replay import Record
from lapwright.report.figures import Figures, Reader
from lapwright.units import FIELD_UNITS, SYMBOLS, from_si

_MOVED = {"sheet_moved": "sheet", "air_moved": "air"}
_LONG_AGO = ("time_since_pass", "cold_day")
_COLOURS = ("white", "grey", "tan", "black")  # that the phone offers; others stand as typed


@dataclass(frozen=True)
class Told:
    """A record and who reads it.

    Parameters
    ----------
    record : Record
        Where names are looked up.
    reader : Reader
        Language and units.
    """

    record: Record
    reader: Reader

    @property
    def length_unit(self) -> str:
        """Suffix of lengths: ``ft`` or ``m``."""
        return FIELD_UNITS[self.reader.units]["length"]

    def length(self, metres: float | None) -> float | None:
        """Length in the reader's unit, to a tenth."""
        return None if metres is None else round(from_si(metres, self.length_unit), 1)

    def lengths(self, **metres: float | None) -> Figures:
        """Lengths by name, each key with its unit."""
        return {f"{name}_{self.length_unit}": self.length(value) for name, value in metres.items()}

    def station(self, metres: float) -> str:
        """A station as it is painted: whole, or to a tenth where it is not whole."""
        unit = self.length_unit
        return f"{self.reader.plain(round(from_si(metres, unit), 1))} {SYMBOLS[unit]}"

    def name(self, ref: str | None) -> str:
        """Name of a person, number of a machine, test weld or cut; "not known" otherwise."""
        fact = self.record.get(ref)
        for field in ("name", "number", "source"):
            if fact is not None and isinstance(fact[field], str):
                return str(fact[field])
        return self.reader.say("today", "nobody")

    def measure(self, fact: Fact | None, field: str) -> str | None:
        """A reading with its unit in the reader's; as typed where it stands on a dial."""
        value = None if fact is None else fact[field]
        if value is None:
            return None
        known = si(value)
        return str(value["typed"]) if known is None else self.reader.write(field, known)


def colour_says(colour: str, reader: Reader) -> str:
    """Colour of a sheet in the reader's language, where it has a word for it."""
    return reader.say("word", f"lot_colour_{colour}") if colour in _COLOURS else colour


def because(trigger: Trigger, reader: Reader) -> str:
    """Why a test is due, in one line with its figure and the limit it passed."""
    rule, before, now = trigger.clause.value, trigger.before, trigger.now
    if trigger.name in _MOVED and isinstance(before, float) and isinstance(now, float):
        moved = now - before
        code = f"{_MOVED[trigger.name]}_{'warmer' if moved > 0 else 'colder'}"
        return reader.say("now", code, {"margin": abs(moved), "rule": reader.write("margin", rule)})
    if trigger.name in _LONG_AGO and isinstance(now, float):
        hours, limit = (reader.plain(round(from_si(time, "h"), 1)) for time in (now, rule))
        return reader.say("now", trigger.name, {"hours": hours, "rule": limit})
    return reader.say("trigger", trigger.name)


def trigger_figures(trigger: Trigger, reader: Reader) -> Figures:
    """A trigger with its reason, rule and clause; ``source`` names a document of the job."""
    layer, text = trigger.clause.layer, trigger.clause.text
    says = reader.say("rules", "source_short", {"layer": reader.say("layer", layer), "text": text})
    return {
        "code": trigger.name,
        "urgency": trigger.urgency,
        "says": because(trigger, reader),
        "layer": layer,
        "clause": text,
        "source": None if layer == "default" else says,
        "asks": [{"code": name, "says": reader.say("ask", name)} for name in trigger.asks],
    }


def run_figures(run: Welded, told: Told) -> Figures:
    """A run: who, with what, from where to where."""
    return {
        "id": run.run.id,
        "seam": run.seam,
        **told.lengths(start=run.first, end=None if run.end is None else run.last),
        "began": run.began.isoformat(),
        "ended": None if run.end is None else run.ended.isoformat(),
        "operator": told.name(run.run["operator"]),
        "machine": told.name(run.run["machine"]),
    }


def defect_figures(mended: Mended, told: Told) -> Figures:
    """A defect with what is left to do about it."""
    defect, reader = mended.defect, told.reader
    return {
        "id": defect.id,
        "number": defect["number"],
        "seam": defect["seam"],
        **told.lengths(station=si(defect["station"]), length=si(defect["length"])),
        "type": defect["type"],
        "says": reader.say("defect", defect["type"]),
        "found_by": defect["found_by"],
        "is_open": mended.is_open,
        "why_open": mended.why_open,
        "why_open_says": None
        if mended.why_open is None
        else reader.say("why_open", mended.why_open),
        "repair": mended.repairs[-1].id if mended.repairs else None,
        "closed_by": None if mended.closed_by is None else mended.closed_by.id,
    }


def stretch_figures(stretch: Stretch, told: Told) -> Figures:
    """A stretch of seam with all that is known of it."""
    reader, run, backing = told.reader, stretch.run, stretch.backing
    span = told.lengths(start=stretch.span.start, end=stretch.span.end)
    states = [{"code": code, "says": reader.say("state", code)} for code in stretch.states]
    if run is None or backing is None:
        return {**span, "states": states, "run": None}
    decision, conditions, why = backing.decision, backing.conditions, backing.why_orphan
    setting = run.run if run.run["air"] is not None else decision
    return {
        **span,
        "states": states,
        "run": run.run.id,
        "began": run.began.isoformat(),
        "operator": told.name(run.run["operator"]),
        "machine": told.name(run.run["machine"]),
        "air": told.measure(setting, "air"),
        "speed": told.measure(setting, "speed"),
        "decision": None if decision is None else decision.id,
        "test_welds": [{"id": weld.id, "number": weld["number"]} for weld in backing.test_welds],
        "why_orphan": None if why is None else {"code": why, "says": reader.say("why_orphan", why)},
        "conditions": None if conditions is None else conditions.id,
        "ambient": told.measure(conditions, "ambient"),
        "sheet": told.measure(conditions, "sheet"),
        "late": _late_figures(stretch, reader),
        "probed": None if stretch.probed is None else stretch.probed.id,
        "probes": [fact.id for fact in stretch.probes],
        "probed_by": None if stretch.probed is None else told.name(stretch.probed["prober"]),
        "probed_at": None if stretch.probed is None else stretch.probed.at,
        "cuts": [{"id": cut.id, "number": cut["number"]} for cut in stretch.cuts],
        "defects": [defect_figures(each, told) for each in stretch.defects],
        "under": [fact.id for fact in stretch.under],
    }


def _late_figures(stretch: Stretch, reader: Reader) -> Figures | None:
    if stretch.late is None:
        return None
    names = stretch.late.triggers
    return {
        "since": stretch.late.since.isoformat(),
        "set_aside": stretch.late.is_set_aside,
        "triggers": [{"code": name, "says": reader.say("trigger", name)} for name in names],
    }


def trace_figures(
    trace: Trace, record: Record, reader: Reader, *, seam: str | None = None
) -> Figures:
    """The trace of one seam, or of all, for the map and its story.

    Parameters
    ----------
    trace : Trace
        Of the whole job.
    record : Record
        Where names are looked up.
    reader : Reader
        Language and units.
    seam : str, optional
        All seams unless said.

    Returns
    -------
    dict
        ``seams``: id and stretches of each; ``lengths`` by state; ``running``; ``beyond``.
    """
    told = Told(record, reader)
    chosen = trace.seams if seam is None else {seam: trace.seams.get(seam, ())}
    return {
        "seams": [
            {"seam": name, "stretches": [stretch_figures(each, told) for each in stretches]}
            for name, stretches in chosen.items()
        ],
        "lengths": [
            {"code": code, "says": reader.say("state", code), **told.lengths(length=length)}
            for code, length in trace.lengths().items()
        ],
        "running": [run_figures(run, told) for run in trace.running],
        "beyond": list(trace.beyond),
    }
