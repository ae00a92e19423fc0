"""The file of a force gauge into the record: which strip each pull was, and the file itself."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from lapwright.cli.keep import chosen_job, opened_store
from lapwright.cli.keepfact import keep_facts
from lapwright.errors import LapwrightError
from lapwright.proof.peel import PeelTrace
from lapwright.readings.text import load
from lapwright.record.fact import Fact
from lapwright.record.replay import Record
from lapwright.report.figures import Reader
from lapwright.units import FIELD_UNITS, from_si


def keep_peel(
    file: str,
    traces: Sequence[PeelTrace],
    *,
    of: str,
    store: str,
    job: str | None,
    instrument: str | None,
    reader: Reader,
) -> None:
    """Keep each pull as a fact beside its strip, and the file by its content.

    Parameters
    ----------
    file : str
        As the gauge wrote it.
    traces : sequence of PeelTrace
        What was read from it.
    of : str
        Number of the cut or test weld that the strips are of.
    store, job : str
        Where.
    instrument : str, optional
        Name or number of the gauge.
    reader : Reader
        Who reads; pulls are written down in this reader's units.

    Raises
    ------
    Refused
        No such store, job or strips; a pull whose jaw speed is not known.
    """
    with opened_store(store, reader) as opened:
        chosen = chosen_job(opened, job)
        record = Record(entry.fact for entry in opened.ledger.since(chosen))
        content = load(Path(file), file=file)
        sha256 = hashlib.sha256(content).hexdigest()
        bodies = [
            {"strip": strip.id, "file": sha256, "instrument": instrument, **_pull(trace, reader)}
            for trace, strip in _matched(traces, _strips(record, of), of)
        ]
        new = [body for body in bodies if record.latest("peel_trace", **body) is None]
        opened.photos.put(sha256, content)
        keep_facts(opened, job=chosen, facts=[("peel_trace", body) for body in new])
    click.echo(reader.say("label", "peel_kept", {"count": len(new), "of": of}))


def _strips(record: Record, of: str) -> dict[str, Fact]:
    """Strips of a cut or test weld, by the number on each; first looks only."""
    pieces = {
        fact.id
        for kind in ("cut", "test_weld")
        for fact in record.all(kind)
        if fact["number"] == of
    }
    found = {
        strip["number"]: strip
        for strip in record.all("strip")
        if strip["of"] in pieces and not strip["second_look"]
    }
    if not found:
        raise LapwrightError("peel_no_strips", of=of)
    return found


def _matched(
    traces: Sequence[PeelTrace], strips: dict[str, Fact], of: str
) -> list[tuple[PeelTrace, Fact]]:
    unknown = [trace.name for trace in traces if trace.name not in strips]
    if unknown:
        raise LapwrightError(
            "peel_strip_unknown", pull=unknown[0], of=of, known=", ".join(sorted(strips))
        )
    return [(trace, strips[trace.name]) for trace in traces]


def _pull(trace: PeelTrace, reader: Reader) -> dict[str, Any]:
    if trace.rate is None:
        raise LapwrightError("peel_rate_unknown", pull=trace.name)
    units = FIELD_UNITS[reader.units]
    return {
        "rate": _typed(trace.rate, units["rate"], "set"),
        "width": _typed(trace.width, units["width"], "measured"),
    }


def _typed(value: float, unit: str, how: str) -> dict[str, str]:
    return {"typed": f"{from_si(value, unit):.6g}", "unit": unit, "how": how}
