"""What a failure puts in doubt, for the terminal: a few lines and where to cut next."""

from __future__ import annotations

from rich.text import Text

from lapwright.proof.strand import Evidence
from lapwright.report.figures import Reader
from lapwright.report.recordfigures import Told
from lapwright.report.suspectfigures import Doubt, failure_says, two_figures
from lapwright.units import FIELD_UNITS, SYMBOLS, to_si


def doubt_text(doubt: Doubt, reader: Reader) -> Text:
    """One doubt in plain words.

    Parameters
    ----------
    doubt : Doubt
        What failed and what follows.
    reader : Reader
        Language and units.
    """
    suspicion, told, text = doubt.suspicion, Told(doubt.record, reader), Text()
    chain = suspicion.chain
    who = {"operator": told.name(chain.operator), "machine": told.name(chain.machine)}
    text.append(failure_says(suspicion.failure, reader) + "\n", style="bold red")
    feet = reader.say("suspect", "feet", {"length": suspicion.length, **who})
    text.append(f"  {feet}\n")
    text.append(f"  {_bound(suspicion.since, 'since', reader)}\n")
    text.append(f"  {_bound(suspicion.until, 'until', reader)}\n")
    if suspicion.is_bounded:
        code = "closed" if suspicion.is_closed else "bounded"
        text.append(f"  {reader.say('suspect', code)}\n")
    for each in doubt.doubted:
        span = each.suspect.span
        start, end = told.station(span.start), told.station(span.end)
        chance = (
            reader.say("suspect", "p_unknown")
            if each.p_bad is None
            else reader.say("suspect", "p_bad", {"p": each.p_bad})
        )
        place = reader.say("trace", "from_to", {"start": start, "end": end})
        text.append(f"    {each.suspect.seam} {place}: {chance}\n")
    text.append_text(_cuts(doubt, reader))
    for sister in suspicion.sisters:
        data = {
            "operator": told.name(sister.chain.operator),
            "machine": told.name(sister.chain.machine),
            "length": sister.length,
        }
        text.append(f"  {reader.say('suspect', sister.why, data)}\n")
    return text


def _bound(evidence: Evidence | None, side: str, reader: Reader) -> str:
    if evidence is None:
        return reader.say("suspect", f"no_{side}")
    when = f"{evidence.fact['number']}, {evidence.welded:%Y-%m-%d %H:%M}"
    return reader.say("suspect", side, {"what": when})


def _cuts(doubt: Doubt, reader: Reader) -> Text:
    text, cuts, reach = Text(), doubt.cuts, doubt.cost
    if cuts:
        text.append(f"  {reader.say('suspect', 'next_cuts')}:\n", style="bold")
    for cut in cuts:
        at = Told(doubt.record, reader).station(cut.place.station)
        text.append(f"    {cut.place.seam} {at}: {reader.say('suspect', cut.why)}\n")
    if cuts and doubt.cause == "change":
        text.append(f"    {reader.say('suspect', 'confirm')}\n")
    if doubt.suspicion.spans:
        unit = FIELD_UNITS[reader.units]["length"]
        data = {
            "low": str(two_figures(reach.low)),
            "high": str(two_figures(reach.high)),
            "cover": reader.plain(round(doubt.rates.cover * to_si(1.0, unit), 2)),
            "unit": SYMBOLS[unit],
            "fewest": reach.fewest_cuts,
            "most": reach.most_cuts,
        }
        text.append(f"  {reader.say('suspect', 'cost', data)}\n")
        if doubt.rates.cut is None and reach.most_cuts:
            text.append(f"  {reader.say('suspect', 'cuts_free')}\n")
    return text
