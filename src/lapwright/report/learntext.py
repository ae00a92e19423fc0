"""What past days teach, for the terminal: how much, what moves the window, and how far it holds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.text import Text

from lapwright.physics.heat import REFERENCE_SHEET, REFERENCE_SPEED
from lapwright.report.figures import Figures, Reader
from lapwright.report.learnfigures import Taught, learn_figures
from lapwright.units import difference_to_si, to_si
from lapwright.window.history import LEAST_DAYS
from lapwright.window.prior import EARLIER_SHARE

Row = tuple[str, ...]


def learn_text(taught: Taught, reader: Reader) -> Text:
    """Past days in words and tables.

    Parameters
    ----------
    taught : Taught
        Worked out.
    reader : Reader
        Language and units.

    Returns
    -------
    rich.text.Text
    """
    said = learn_figures(taught, reader)
    text = Text(reader.say("learn", "from", said) + "\n", style="bold")
    for code, count in said["left_out"].items():
        text.append(reader.say("learn", f"out_{code}", {"count": count}) + "\n")
    if not said["families"]:
        return text.append(reader.say("learn", "nothing", {"least": LEAST_DAYS}) + "\n")
    text.append("\n").append(_lines(list(_window_rows(said, reader))))
    at = {"speed": REFERENCE_SPEED, "sheet": REFERENCE_SHEET}
    text.append(reader.say("learn", "axis", at) + "\n\n")
    text.append("\n".join(_checked(said["check"], reader)) + "\n")
    for one in said["expects"]:
        text.append("\n" + _expected(one, reader) + "\n")
    if said["expects"]:
        text.append(reader.say("learn", "share", {"p": EARLIER_SHARE}) + "\n")
    return text


def _window_rows(said: Figures, reader: Reader) -> Iterator[Row]:
    unit = reader.temperature
    yield tuple(reader.say("learn", head) for head in ("what", "bottom", "width", "days"))
    for one in said["families"]:
        bottom = reader.write("air", to_si(one[f"bottom_{unit}"], unit))
        width = _difference(one, "width", reader)
        name = reader.say("learn", "family", {"membrane": one["membrane"].upper()})
        given = [_give(one, edge, reader) for edge in ("bottom", "width")]
        yield name, f"{bottom} ± {given[0]}", f"{width} ± {given[1]}", str(one["days"])
    by = ""
    for one in said["levels"]:
        if one["by"] != by:
            by = one["by"]
            yield (reader.say("learn", f"by_{by}"), "", "", "")
        edges = [
            f"{_difference(one, edge, reader, sign=True)} ± {_give(one, edge, reader)}"
            for edge in ("bottom", "width")
        ]
        yield (f"  {one['name']}", *edges, str(one["days"]))
    day = said["between"][-1]
    yield (
        reader.say("learn", "two_days"),
        *(f"± {_give(day, edge, reader)}" for edge in ("bottom", "width")),
        "",
    )


def _difference(one: Figures, name: str, reader: Reader, *, sign: bool = False) -> str:
    value = one[f"{name}_{reader.temperature}"]
    text = reader.write("margin", difference_to_si(value, reader.temperature))
    return f"+{text}" if sign and text[0] in "123456789" else text


def _give(one: Figures, name: str, reader: Reader) -> str:
    return _difference(one, f"{name}_give", reader)


def _lines(rows: Sequence[Row]) -> Text:
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    text = Text()
    for place, row in enumerate(rows):
        line = "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True))
        text.append(line.rstrip() + "\n", style="" if place else "bold")
    return text


def _checked(check: Figures, reader: Reader) -> Iterator[str]:
    """Each day foretold from the others, or why that cannot be said yet."""
    if check["bottom"]["days"] < LEAST_DAYS:
        yield reader.say("learn", "few", {"least": LEAST_DAYS})
        return
    yield reader.say("learn", "check")
    for edge in ("bottom", "top"):
        one = check[edge]
        if one["days"] >= LEAST_DAYS:
            off = _difference(one, "off", reader, sign=True)
            said = {"days": one["days"], "p": one["inside"], "off": off}
            said["give"] = _give(one, "off", reader)
            yield reader.say("learn", f"check_{edge}", said)
    yield reader.say(
        "learn",
        "check_gain",
        {
            "likelier": reader.plain(check["likelier"]),
            "worse": check["less_likely_days"],
            "days": check["bottom"]["days"],
        },
    )


def _expected(one: Figures, reader: Reader) -> str:
    unit = reader.temperature
    said = {name: one[name] for name in ("machine", "pairing", "days")}
    for end in ("", "_low", "_high"):
        said[f"bottom{end}"] = reader.write("air", to_si(one[f"bottom{end}_{unit}"], unit))
        said[f"width{end}"] = _difference(one, f"width{end}", reader)
    said["nozzle"] = one["nozzle"] or reader.say("learn", "any_nozzle")
    return reader.say("learn", "expects", said)
