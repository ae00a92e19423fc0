"""The band that a photo proposes: figures in field units, and lines for the terminal."""

from __future__ import annotations

import math

from rich.text import Text

from lapwright.job.band import SURE, Band, Sight
from lapwright.report.figures import Figures, Reader, caution_figures
from lapwright.report.text import caution_text
from lapwright.units import FIELD_UNITS, SYMBOLS, from_si
from lapwright.words import number

_DECIMALS = {"in": 2, "mm": 1}


def band_figures(name: str, band: Band, sight: Sight, reader: Reader) -> Figures:
    """One photo in the reader's units and language.

    Parameters
    ----------
    name : str
        Of the photo.
    band : Band
        The proposal.
    sight : Sight
        How well the photo shows lengths.
    reader : Reader
        Language and units.

    Returns
    -------
    dict
        JSON-ready; an error is what 95 of 100 such photos keep within; null where no band
        was seen.
    """
    unit = FIELD_UNITS[reader.units]["width"]
    shows = band.evenness is not None

    def plus_minus(error: float) -> float | None:
        return _upwards(error, unit) if shows else None

    return {
        "photo": name,
        f"smallest_{unit}": round(from_si(band.smallest, unit), _DECIMALS[unit]),
        f"smallest_error_{unit}": plus_minus(band.smallest_error),
        f"median_{unit}": round(from_si(band.median, unit), _DECIMALS[unit]),
        f"median_error_{unit}": plus_minus(band.median_error),
        f"largest_{unit}": round(from_si(band.largest, unit), _DECIMALS[unit]),
        "share_percent": round(100 * band.share),
        "evenness": band.evenness,
        "markers": sight.markers,
        "says": "\n".join(_sentences(name, band, sight, reader)),
        "cautions": caution_figures(band.cautions, reader),
    }


def band_text(name: str, band: Band, sight: Sight, reader: Reader) -> Text:
    """One photo for the terminal; the last line leaves the decision where it belongs."""
    first, *others = _sentences(name, band, sight, reader)
    text = Text(first + "\n", style="bold")
    text.append("".join(line + "\n" for line in others))
    text.append(caution_text(band.cautions, reader))
    return text.append(reader.say("band", "decide") + "\n")


def written(length: float, reader: Reader) -> str:
    """A width with its unit."""
    return reader.write("bond", length)


def written_error(error: float, reader: Reader) -> str:
    """What 95 of 100 keep within, rounded up."""
    unit = FIELD_UNITS[reader.units]["width"]
    return f"{number(_upwards(error, unit), _DECIMALS[unit], reader.language)} {SYMBOLS[unit]}"


def _upwards(error: float, unit: str) -> float:
    step = 10.0 ** -_DECIMALS[unit]
    return round(math.ceil(from_si(SURE * error, unit) / step) * step, _DECIMALS[unit])


def _sentences(name: str, band: Band, sight: Sight, reader: Reader) -> list[str]:
    if band.evenness is None:
        return [reader.say("band", "none", {"name": name})]
    widths = {
        "name": name,
        "smallest": written(band.smallest, reader),
        "smallest_error": written_error(band.smallest_error, reader),
        "median": written(band.median, reader),
        "median_error": written_error(band.median_error, reader),
        "largest": written(band.largest, reader),
    }
    even = {
        "name": name,
        "evenness": reader.say("band", band.evenness),
        "percent": f"{100 * band.share:.0f}",
    }
    how = {"name": name, "markers": sight.markers}
    return [
        reader.say("band", "width", widths),
        reader.say("band", "even", even),
        reader.say("band", "how", how),
    ]
