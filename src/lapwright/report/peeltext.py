"""A set of pulled strips for the terminal: verdict with its clause, a line per strip, the set."""

from __future__ import annotations

from rich.text import Text

from lapwright.job.rules import Clause
from lapwright.proof.peelset import Judged, PeelSet
from lapwright.report.figures import Reader
from lapwright.report.rulestext import source_text
from lapwright.report.text import aligned, caution_text
from lapwright.units import FIELD_UNITS, SYMBOLS, from_si
from lapwright.words import number

_COLUMNS = ("strip", "peak", "average", "median", "peaks", "energy", "bond", "state")
_TONES = {"pass": "bold green", "fail": "bold red"}


def peel_text(pulled: PeelSet, clause: Clause | None, reader: Reader) -> Text:
    """A set against the rule, for the terminal.

    Parameters
    ----------
    pulled : PeelSet
        Judged.
    clause : Clause, optional
        That the least force comes from.
    reader : Reader
        Language and units.

    Returns
    -------
    rich.text.Text
        Verdict, rule, table, statistics, methods, cautions.
    """
    text = Text()
    text.append(verdict_text(pulled, reader) + "\n", style=_TONES.get(pulled.verdict, "bold"))
    if clause is not None:
        text.append(rule_text(pulled, clause, reader) + "\n")
    text.append("\n")
    rows = [tuple(reader.say("peel", name) for name in _COLUMNS)]
    rows += [_row(strip, reader) for strip in pulled.strips]
    for place, line in enumerate(aligned(rows)):
        text.append(f"  {line}\n", style="bold" if place == 0 else "")
    text.append("\n" + _units(pulled, reader) + "\n")
    text.append(set_text(pulled, reader) + "\n")
    text.append(reader.say("peel", "methods") + "\n", style="dim")
    return text + caution_text(pulled.cautions, reader)


def verdict_text(pulled: PeelSet, reader: Reader) -> str:
    """Whether the set keeps the rule, in one sentence."""
    opened = any(strip.state == "opened" for strip in pulled.strips)
    return reader.say("peel", "fail_opened" if opened else pulled.verdict)


def rule_text(pulled: PeelSet, clause: Clause, reader: Reader) -> str:
    """The rule in force and who says it."""
    return reader.say(
        "peel",
        "rule",
        {
            "least": pulled.rule.least,
            "figure": reader.say("peel", f"by_{pulled.rule.figure}"),
            "passing": reader.say("peel", pulled.rule.passing),
            "source": source_text(clause, reader),
        },
    )


def set_text(pulled: PeelSet, reader: Reader) -> str:
    """Statistics of the valid strips, in one sentence."""
    counted = [strip for strip in pulled.strips if strip.state not in ("invalid", "look")]
    if pulled.mean is None or pulled.low is None or pulled.high is None:
        return reader.say("peel", "set_one" if counted else "set_none")
    names = ("mean", "sd", "low", "high", "lowest")
    said = {name: reader.write("peel", getattr(pulled, name)) for name in names}
    return reader.say("peel", "set", said | {"count": len(counted)})


def _row(strip: Judged, reader: Reader) -> tuple[str, ...]:
    peeled, unit = strip.peeled, FIELD_UNITS[reader.units]
    decimals = 1 if unit["peel"] == "lbf_in" else 0

    def force(value: float) -> str:
        return number(from_si(value, unit["peel"]), decimals, reader.language)

    bond = number(from_si(peeled.bond, unit["width"]), 2 if reader.units == "us" else 0,
                  reader.language)  # fmt: skip
    state = "looks" if strip.state == "look" else strip.state
    return (
        peeled.trace.name,
        force(peeled.peak),
        force(peeled.average),
        force(peeled.median),
        f"{peeled.peaks.count} ({peeled.peaks.method})",
        number(from_si(peeled.energy, unit["energy"]), 1, reader.language),
        bond,
        reader.say("peel", state),
    )


def _units(pulled: PeelSet, reader: Reader) -> str:
    unit = FIELD_UNITS[reader.units]
    widths = {reader.write("strip_width", strip.peeled.trace.width) for strip in pulled.strips}
    return reader.say(
        "peel",
        "in_units",
        {
            "peel": SYMBOLS[unit["peel"]],
            "energy": SYMBOLS[unit["energy"]],
            "bond": SYMBOLS[unit["width"]],
            "width": ", ".join(sorted(widths)),
        },
    )
