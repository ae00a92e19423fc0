"""What past days teach, for the terminal: how much, what moves the window, and how far it holds."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from rich.text import Text

from lapwright.job.expecting import Expected
from lapwright.physics.heat import REFERENCE_SHEET, REFERENCE_SPEED
from lapwright.report.figures import Reader
from lapwright.report.learnfigures import Taught, give, likelier, off
from lapwright.report.text import aligned
from lapwright.window.history import LEAST_DAYS, Learnt
from lapwright.window.leftout import LeftOut
from lapwright.window.pastwelds import FAMILY_CODES
from lapwright.window.prior import EARLIER_SHARE, Values

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
    past, learnt = taught.past, taught.learnt
    known = {"test_welds": len(past.welds.day), "days": len(past.welds.month)}
    text = Text(reader.say("learn", "from", known) + "\n", style="bold")
    for code, count in past.left_out.items():
        text.append(reader.say("learn", f"out_{code}", {"count": count}) + "\n")
    if not learnt.days[0].any():
        return text.append(reader.say("learn", "nothing", {"least": LEAST_DAYS}) + "\n")
    head, *lines = aligned([_head(reader), *_middles(learnt, reader), *_levels(taught, reader)])
    text.append(f"\n{head}\n", style="bold").append("".join(f"{line}\n" for line in lines))
    at = {"speed": REFERENCE_SPEED, "sheet": REFERENCE_SHEET}
    text.append(reader.say("learn", "axis", at) + "\n\n")
    text.append("\n".join(_checked(taught.checked, reader)) + "\n")
    for one in taught.expected:
        text.append("\n" + _expected(one, taught, reader) + "\n")
    if taught.expected:
        text.append(reader.say("learn", "share", {"p": EARLIER_SHARE}) + "\n")
    return text


def _head(reader: Reader) -> Row:
    return tuple(reader.say("learn", name) for name in ("what", "bottom", "width", "days"))


def _middles(learnt: Learnt, reader: Reader) -> Iterator[Row]:
    for code, days in zip(FAMILY_CODES, learnt.days[0], strict=True):
        if days:
            (bottom, width), sd = learnt.middle(code)
            reach = [_difference(each, reader) for each in give(sd)]
            yield (
                reader.say("learn", "family", {"membrane": code.upper()}),
                f"{reader.write('air', bottom)} ± {reach[0]}",
                f"{_difference(width, reader)} ± {reach[1]}",
                str(days),
            )


def _levels(taught: Taught, reader: Reader) -> Iterator[Row]:
    """Under a heading for each group; last how far one day lies from the next."""
    by = ""
    for one in taught.learnt.levels():
        if one.by != by:
            by = one.by
            yield reader.say("learn", f"by_{by}"), "", "", ""
        yield f"  {taught.name(one, reader)}", *_added(one.added, one.sd, reader), str(one.days)
    apart = give(np.sqrt(taught.learnt.variance[-1]))
    told = (f"± {_difference(each, reader)}" for each in apart)
    yield reader.say("learn", "two_days"), *told, ""


def _added(added: Values, sd: Values, reader: Reader) -> list[str]:
    return [
        f"{_signed(each, reader)} ± {_difference(reach, reader)}"
        for each, reach in zip(added, give(sd), strict=True)
    ]


def _difference(kelvin: float, reader: Reader) -> str:
    return reader.write("margin", float(kelvin))


def _signed(kelvin: float, reader: Reader) -> str:
    text = _difference(kelvin, reader)
    return f"+{text}" if text[0] in "123456789" else text


def _checked(checked: LeftOut, reader: Reader) -> Iterator[str]:
    """Each day foretold from the others, or why that cannot be said yet.

    What tells a misleading past first stands first: intervals are wide enough to hide one.
    """
    times = likelier(checked)
    days = len(checked.bottom.error)
    if times is None or days < LEAST_DAYS:
        yield reader.say("learn", "few", {"least": LEAST_DAYS})
        return
    yield reader.say("learn", "check")
    worse = int((checked.gain < 0).sum())
    said = {"likelier": reader.plain(round(times, 2)), "worse": worse, "days": len(checked.gain)}
    yield reader.say("learn", "check_gain", said)
    for name, edge in (("bottom", checked.bottom), ("top", checked.top)):
        if len(edge.error) >= LEAST_DAYS:
            mean, reach = off(edge)
            told = {
                "days": len(edge.error),
                "p": float(edge.covered.mean()),
                "off": _signed(mean, reader),
                "give": _difference(reach, reader),
            }
            yield reader.say("learn", f"check_{name}", told)


def _expected(expected: Expected, taught: Taught, reader: Reader) -> str:
    earlier = expected.earlier
    bottom, width = earlier.bottom, earlier.width
    over_bottom, over_width = earlier.reach
    machine, pairing, nozzle = taught.names(expected, reader)
    told = {
        "machine": machine,
        "pairing": pairing,
        "nozzle": nozzle or reader.say("learn", "any_nozzle"),
        "bottom": reader.write("air", bottom),
        "bottom_low": reader.write("air", bottom - over_bottom),
        "bottom_high": reader.write("air", bottom + over_bottom),
        "width": _difference(width, reader),
        "width_low": _difference(max(0.0, width - over_width), reader),
        "width_high": _difference(width + over_width, reader),
    }
    return reader.say("learn", "expects", told)
