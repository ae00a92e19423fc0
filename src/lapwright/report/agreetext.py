"""Agreement of graders in words and figures: no names unless they are asked for."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from rich.text import Text

from lapwright.job.agreeing import Agreement
from lapwright.proof.agreement import Kappa
from lapwright.report.figures import Figures, Reader, caution_figures
from lapwright.report.text import caution_text
from lapwright.words import number


def agreement_text(found: Agreement, reader: Reader, *, with_names: bool = False) -> Text:
    """Counts, table and index; with names each grader beside the others."""
    text = Text()
    for line in summary(found, reader):
        text.append(line + "\n")
    if found.table is not None:
        text.append("\n" + reader.say("agree", "table") + "\n", style="bold")
        for line in _table(found, reader):
            text.append("  " + line + "\n")
    if with_names:
        text.append("\n" + reader.say("agree", "names") + "\n", style="bold")
        for one in found.own:
            data = {"grader": one.grader, "same": one.same, "of": one.of}
            text.append("  " + reader.say("agree", "own", data) + "\n")
    return text + Text("\n") + caution_text(found.cautions, reader)


def summary(found: Agreement, reader: Reader) -> Iterator[str]:
    """What is told before any table, a sentence a line."""

    def say(code: str, **values: Any) -> str:
        return reader.say("agree", code, values)

    code = "same" if found.graders == 2 else "same_all"
    yield say(code, same=found.same, of=found.strips, graders=found.graders)
    if found.near:
        yield say("near", near=found.near)
    if found.unsure:
        yield say("unsure", unsure=found.unsure)
    if found.left_out:
        yield say("left_out", left_out=found.left_out)
    if found.kappa is not None:
        yield _index("kappa", found.kappa, reader)
    if found.weighted is not None:
        yield _index("weighted", found.weighted, reader)
    if found.several is not None:
        yield say("several", value=number(found.several, 2, reader.language))


def _index(code: str, kappa: Kappa, reader: Reader) -> str:
    ends = {end: number(getattr(kappa, end), 2, reader.language) for end in ("low", "high")}
    value = number(kappa.value, 2, reader.language)
    told = reader.say("agree", code, {"value": value, **ends})
    return f"{told} {reader.say('agree', 'beyond' if kappa.is_beyond_chance else 'untold')}"


def _table(found: Agreement, reader: Reader) -> Iterator[str]:
    assert found.table is not None
    names = [reader.say("grade", grade) for grade in found.grades]
    side = max(map(len, names))
    yield " " * side + "  " + "  ".join(names)
    for name, row in zip(names, found.table, strict=True):
        cells = (
            str(count).rjust(len(above)) if count else "·".rjust(len(above))
            for count, above in zip(row, names, strict=True)
        )
        yield name.ljust(side) + "  " + "  ".join(cells)


def agreement_figures(found: Agreement, reader: Reader, *, with_names: bool = False) -> Figures:
    """The same for ``--json`` and the page."""
    figures: Figures = {
        "graders": found.graders,
        "strips": found.strips,
        "same": found.same,
        "one_step_apart": found.near,
        "cannot_tell": found.unsure,
        "left_out": found.left_out,
        "grades": list(found.grades),
        "table": None if found.table is None else [list(row) for row in found.table],
        "kappa": _kappa(found.kappa),
        "kappa_weighted": _kappa(found.weighted),
        "kappa_several": None if found.several is None else round(found.several, 4),
        "says": list(summary(found, reader)),
        "cautions": caution_figures(found.cautions, reader),
    }
    if with_names:
        figures["own"] = [
            {"grader": one.grader, "same": one.same, "of": one.of} for one in found.own
        ]
    return figures


def _kappa(kappa: Kappa | None) -> Figures | None:
    if kappa is None:
        return None
    ends = {end: round(getattr(kappa, end), 4) for end in ("value", "low", "high")}
    return {**ends, "basis": kappa.basis, "beyond_chance": kappa.is_beyond_chance}
