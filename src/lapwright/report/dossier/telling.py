"""Facts in the reader's words: a moment with its offset, a reading in the reader's unit, a name.

What nobody knows is said as such; what need not be known and is not there is a dash.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from lapwright.errors import LapwrightError
from lapwright.job.closing import Closeout
from lapwright.proof.chains import Chain
from lapwright.record.fact import KINDS, WITHDRAWN, Fact, si
from lapwright.record.kinds import UNITS, Field
from lapwright.record.replay import Record
from lapwright.report.figures import Reader
from lapwright.report.recordfigures import Told, colour_says
from lapwright.roof.station import Span
from lapwright.units import SYMBOLS, UnitSystem, from_si
from lapwright.words import number

DASH = "\N{EN DASH}"
NARROW = "\N{NO-BREAK SPACE}"
_SHOWN: dict[UnitSystem, dict[str, tuple[str, int]]] = {  # quantity: unit and decimals
    "us": {
        "temperature": ("f", 0), "speed": ("ft_min", 1), "length": ("ft", 1), "width": ("in", 2),
        "thickness": ("mil", 0), "wind": ("mph", 0), "force": ("lbf", 0), "peel": ("lbf_in", 1),
        "rate": ("in_min", 1), "flow": ("cfm", 0),
    },
    "metric": {
        "temperature": ("c", 0), "speed": ("m_min", 2), "length": ("m", 1), "width": ("mm", 0),
        "thickness": ("mm", 2), "wind": ("km_h", 0), "force": ("n", 0), "peel": ("n_50mm", 0),
        "rate": ("mm_min", 0), "flow": ("l_min", 0),
    },
}  # fmt: skip
_QUANTITY = {units: quantity for quantity, units in UNITS.items()}
_UNSURE = ("estimated", "forecast", "displayed")  # told beside the reading
_OWN_TABLE = {"defect_type": "defect", "strip_evenness": "evenness"}
_MANY = 2000  # runs; each of a longer job would take some 40 pages
_LONGEST = 60  # characters of a value that is kept whole elsewhere


@dataclass(frozen=True)
class Teller:
    """A close-out and who reads it.

    Parameters
    ----------
    closeout : Closeout
        What is told.
    reader : Reader
        Language and units.
    """

    closeout: Closeout
    reader: Reader

    @property
    def record(self) -> Record:
        """Facts as they hold."""
        return self.closeout.record

    @property
    def told(self) -> Told:
        """Names and stations."""
        return Told(self.record, self.reader)

    @property
    def is_long(self) -> bool:
        """Whether it is a whole job of so many runs that nobody reads each on paper."""
        return self.closeout.day is None and len(self.record.all("run")) > _MANY

    @property
    def unknown(self) -> str:
        """What nobody knows."""
        return self.reader.say("today", "nobody")

    def say(self, code: str, **data: Any) -> str:
        """A sentence of the dossier."""
        return self.reader.say("dossier", code, data)

    def heads(self, *codes: str) -> tuple[str, ...]:
        """Names of columns."""
        return tuple(self.reader.say("column", code) for code in codes)

    def length(self, metres: float) -> str:
        """A length to a tenth."""
        return self.told.station(metres)

    def span(self, span: Span) -> str:
        """From a station to a station, the unit once."""
        unit = self.told.length_unit
        ends = (
            self.reader.plain(round(from_si(place, unit), 1)) for place in (span.start, span.end)
        )
        return f"{DASH.join(ends)}{NARROW}{SYMBOLS[unit]}"

    def share(self, part: float, whole: float) -> str:
        """A part in percent, never rounded to all or to nothing."""
        if whole <= 0:
            return DASH
        percent = 100 * part / whole
        rounded = round(percent, 1)
        if 0 < percent < 100:
            rounded = min(max(rounded, 0.1), 99.9)
        return f"{number(rounded, 1, self.reader.language)}{NARROW}%"

    def name(self, ref: str | None) -> str:
        """Person, machine or source by its name."""
        return self.told.name(ref)

    def value(self, fact: Fact, name: str) -> str:
        """What a fact says in one field."""
        field = KINDS[fact.kind][name]
        return self.of_field(field, fact[name], kind=fact.kind)

    def reach(self, facts: Iterable[Fact], name: str) -> str:
        """What several facts say in one field: lowest to highest reading, or each word once."""
        told = {self.value(fact, name): fact[name] for fact in facts}
        sizes = {text: si(value) for text, value in told.items() if isinstance(value, Mapping)}
        known = sorted((size, text) for text, size in sizes.items() if size is not None)
        said = [text for text in told if sizes.get(text) is None]
        if known:
            low, high = known[0][1], known[-1][1]
            said.insert(0, low if low == high else self.say("reach", low=low, high=high))
        return ", ".join(said)

    def of_field(self, field: Field, value: Any, *, kind: str = "") -> str:
        """A value by what its field holds."""
        if value is None:
            return DASH if field.need == "may" else self.unknown
        if field.type == "measure":
            return self._reading(field, value)
        if field.type in ("word", "words"):
            words = [value] if field.type == "word" else value
            return ", ".join(self.word(f"{kind}_{field.name}", each) for each in words)
        if field.type == "flag":
            return self.reader.say("label", "yes" if value else "no")
        if field.type == "ref":
            return self.name(value)
        if field.name == "colour":
            return colour_says(value, self.reader)
        if field.type == "refs":
            return ", ".join(map(self.name, value))
        if field.type == "time":
            return when(value)
        return self.plain(value)

    def plain(self, value: Any) -> str:
        """Text as written; anything else as JSON, shortened."""
        text = value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)
        return text if len(text) <= _LONGEST else text[: _LONGEST - 1] + "…"

    def word(self, field: str, value: str) -> str:
        """A word of a list: ``word("strip_pull", "full")``."""
        if field in _OWN_TABLE:
            return self.reader.say(_OWN_TABLE[field], value)
        return self.reader.say("word", f"{field}_{value}")

    def _reading(self, field: Field, value: Mapping[str, Any]) -> str:
        text = self._measured(field, value)
        if value["how"] in _UNSURE:
            text += f" ({self.word('how', value['how'])})"
        return text

    def _measured(self, field: Field, value: Mapping[str, Any]) -> str:
        typed, unit = str(value["typed"]), str(value["unit"])
        if unit == "dial":
            return self.say("dial", mark=typed)
        unit_shown, decimals = _SHOWN[self.reader.units].get(
            _QUANTITY.get(field.among, ""), (unit, 0)
        )
        known = si(value)
        if unit in (unit_shown, "percent") or known is None:
            shown = typed.replace(",", ".")
            if self.reader.language == "es":
                shown = shown.replace(".", ",")
            return f"{shown.replace('-', '−')}{NARROW}{SYMBOLS.get(unit, '°')}"
        shown = number(from_si(known, unit_shown), decimals, self.reader.language)
        return f"{shown}{NARROW}{SYMBOLS[unit_shown]}"

    def setting(self, *facts: Fact | None) -> str:
        """Air and speed, from the first of the facts that says each."""
        parts = []
        for name in ("air", "speed"):
            fact = next((one for one in facts if one is not None and one[name] is not None), None)
            parts.append(self.unknown if fact is None else self.value(fact, name))
        return ", ".join(parts)

    def chain(self, chain: Chain) -> str:
        """Machine, operator, power and pairing in one line."""
        return self.say(
            "chain",
            machine=self.name(chain.machine),
            operator=self.name(chain.operator),
            power=self.power(chain.power_setup),
            pairing=self.pairing(chain.pairing),
        )

    def who(self, operator: str | None, machine: str | None) -> str:
        """Who welded with which machine."""
        return self.say("who_with", operator=self.name(operator), machine=self.name(machine))

    def days(self, days: Iterable[str]) -> str:
        """The one day, or the first and the last and how many they are."""
        found = sorted(set(days))
        if len(found) == 1:
            return found[0]
        return self.say("days", ends=f"{found[0]} {DASH} {found[-1]}", count=len(found))

    def is_asked(self, fact: Fact) -> bool:
        """Whether it is of the one day asked for; of a whole job every fact is."""
        return self.closeout.day in (None, fact.day)

    def power(self, ref: str | None) -> str:
        """Source and cord."""
        fact = self.record.get(ref)
        if fact is None:
            return self.unknown
        cord = f"{self.value(fact, 'gauge')}, {self.value(fact, 'cord_length')}"
        return f"{fact['source']} ({cord})"

    def pairing(self, ref: str | None) -> str:
        """The two sheets; one where they are of the same lot."""
        fact = self.record.get(ref)
        if fact is None:
            return self.unknown
        upper, lower = self.lot(fact["upper"]), self.lot(fact["lower"])
        return upper if fact["upper"] == fact["lower"] else f"{upper} / {lower}"

    def lot(self, ref: str | None) -> str:
        """Membrane, thickness and colour."""
        fact = self.record.get(ref)
        if fact is None:
            return self.unknown
        sheet = f"{fact['membrane'].upper()} {self.value(fact, 'thickness')}"
        return f"{sheet}, {self.value(fact, 'colour')}"

    def field_name(self, kind: str, name: str) -> str:
        """What a field is called."""
        if name == WITHDRAWN:
            return self.reader.say("field", "withdrawn")
        known = name in KINDS[kind].names or name in ("at", "by", "note")
        return self.reader.say("field", name) if known else name

    def changed(self, kind: str, name: str, value: Any) -> str:
        """A value before or after a correction, also one that does not fit its field."""
        if value is None:
            return self.unknown
        if name == "at":
            return when(str(value))
        if name == "by":
            return self.name(value)
        if name not in KINDS[kind].names:
            return self.plain(value)
        try:
            return self.of_field(KINDS[kind][name], value, kind=kind)
        except (LapwrightError, KeyError, TypeError, ValueError):
            return self.plain(value)


def when(moment: str | datetime) -> str:
    """Day, time and offset where it happened.

    Examples
    --------
    >>> when("2026-05-04T07:05:09-05:00")
    '2026-05-04 07:05 −05:00'
    """
    at = datetime.fromisoformat(moment) if isinstance(moment, str) else moment
    return f"{at:%Y-%m-%d %H:%M} {offset(at)}"


def clock(moment: str | datetime) -> str:
    """Time of a day that is said beside it."""
    at = datetime.fromisoformat(moment) if isinstance(moment, str) else moment
    return f"{at:%H:%M}"


def offset(at: datetime) -> str:
    """Hours from UTC, as ``−05:00``."""
    text = f"{at:%z}"
    return f"{text[:3]}:{text[3:5]}".replace("-", "−")
