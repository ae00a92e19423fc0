"""One fact, checked: what it must carry, what it may hold, and what is wrong if not.

A fact travels as plain JSON. It is checked once, where it enters; after that it is only
read. What was typed stays as typed (text and unit); SI is worked out on reading.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from functools import cached_property
from typing import Any, cast, get_args

from lapwright.errors import LapwrightError
from lapwright.record.kinds import Field, How, Kind
from lapwright.record.setup import SETUP
from lapwright.record.work import WORK
from lapwright.units import to_si

KINDS: dict[str, Kind] = {kind.name: kind for kind in (*SETUP, *WORK)}
WITHDRAWN = "withdrawn"  # field of a correction that takes the whole fact back

LONGEST_TEXT = 500  # characters
LONGEST_NOTE = 2000
DEEPEST_JSON = 12  # levels
MOST_REFS = 1000

_UUID = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-[1-8][0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}")
_SHA256 = re.compile(r"[0-9a-f]{64}")
_NUMBER = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)", re.ASCII)
_TIME = re.compile(  # the form of RFC 3339, 5.6, which every browser reads
    r"(19|20|21)\d\d-\d\d-\d\dT\d\d:\d\d(:\d\d(\.\d{1,6})?)?(Z|[+-]\d\d:\d\d)", re.ASCII
)
_HOWS = get_args(How)
_SAFE_WHOLE = 2**53  # beyond, other readers of JSON round
_FIRST_EXPONENT = 1e21  # from here on RFC 8785 writes an exponent, so it comes back a float


@dataclass(frozen=True)
class Fact:
    """Something that happened, by whom, when, and what was read.

    Parameters
    ----------
    id, job : str
        UUIDs in small letters; a fact's is made on the device, without network.
    kind : str
        A key of :data:`KINDS`.
    at, entered_at : str
        When it happened, when it was typed, by the device's clock. Aware, ISO 8601.
    by : str
        Id of the person who did it, or empty when not known.
    entered_by, device : str
        Account and device that typed it; a server checks both against the session.
    body : mapping
        Fields of the kind.
    note : str
        Free text; never required, never read by a model.
    """

    id: str
    job: str
    kind: str
    at: str
    entered_at: str
    by: str
    entered_by: str
    device: str
    body: Mapping[str, Any]
    note: str = ""

    def __getitem__(self, field: str) -> Any:
        """Value of a field; None when it is missing, as when nobody knows."""
        return self.body.get(field)

    @cached_property
    def moment(self) -> datetime:
        """When it happened. [aware]"""
        return datetime.fromisoformat(self.at)

    @property
    def day(self) -> str:
        """Day it happened, where it happened, as ``2026-05-04``."""
        return self.at[:10]

    def plain(self) -> dict[str, Any]:
        """The fact as it travels."""
        return {
            "id": self.id,
            "job": self.job,
            "kind": self.kind,
            "at": self.at,
            "entered_at": self.entered_at,
            "by": self.by,
            "entered_by": self.entered_by,
            "device": self.device,
            "body": dict(self.body),
            "note": self.note,
        }


def si(measure: Mapping[str, Any] | None) -> float | None:
    """SI value of a measure; None when not known, and of a mark on a dial.

    Examples
    --------
    >>> round(si({"typed": "860", "unit": "f", "how": "set"}), 2)
    733.15
    >>> si({"typed": "6", "unit": "dial", "how": "set"}) is None
    True
    """
    if measure is None or measure["unit"] == "dial":
        return None
    return to_si(float(str(measure["typed"]).replace(",", ".")), measure["unit"])


def read_fact(raw: object) -> Fact:
    """The fact in a piece of JSON, checked whole.

    Parameters
    ----------
    raw : object
        What ``json.loads`` gave.

    Returns
    -------
    Fact

    Raises
    ------
    LapwrightError
        ``fact_misshapen``, ``fact_unknown_kind``, ``fact_unknown_field``,
        ``fact_missing`` or ``fact_value``, with the field and what it may hold.
    """
    if not isinstance(raw, Mapping):
        raise LapwrightError("fact_misshapen", field="fact")
    for name in raw:
        if name not in Fact.__dataclass_fields__:
            raise LapwrightError("fact_unknown_field", field=str(name)[:40])
    kind = KINDS.get(str(raw.get("kind")))
    if kind is None:
        raise LapwrightError("fact_unknown_kind", kind=str(raw.get("kind"))[:40])
    for name in ("id", "job"):
        _need(_is_id(raw.get(name)), name, "uuid")
    for name in ("at", "entered_at"):
        _need(_is_time(raw.get(name)), name, "time")
    for name in ("by", "entered_by", "device"):
        _need(_is_text(raw.get(name), LONGEST_TEXT), name, "text")
    note = raw.get("note", "")
    _need(_is_text(note, LONGEST_NOTE), "note", "text")
    body = raw.get("body")
    if not isinstance(body, Mapping):
        raise LapwrightError("fact_misshapen", field="body")
    for name in body:
        if name not in kind.names:
            raise LapwrightError("fact_unknown_field", field=str(name)[:40])
    for field in kind.fields:
        _check(field, body)
    return Fact(**{**cast("dict[str, Any]", raw), "note": note, "body": dict(body)})


def _check(field: Field, body: Mapping[str, Any]) -> None:
    value = body.get(field.name)
    is_there = field.name in body
    if (field.need == "must" and value is None) or (field.need == "asked" and not is_there):
        raise LapwrightError("fact_missing", field=field.name)
    if value is not None:
        _need(_CHECKS[field.type](value, field.among), field.name, field.type, field.among)


def _need(fits: bool, field: str, wanted: str, among: tuple[str, ...] = ()) -> None:
    if not fits:
        raise LapwrightError("fact_value", field=field, wanted=wanted, among=", ".join(among))


def _is_id(value: object, _among: object = ()) -> bool:
    return isinstance(value, str) and _UUID.fullmatch(value) is not None


def _is_text(value: object, longest: int) -> bool:
    if not isinstance(value, str) or len(value) > longest:
        return False
    return all(sign.isprintable() or sign in "\n\t" for sign in value)


def _is_time(value: object, _among: object = ()) -> bool:
    if not isinstance(value, str) or not _TIME.fullmatch(value):
        return False
    try:
        return bool(datetime.fromisoformat(value))
    except ValueError:
        return False


def _is_date(value: object, _among: object) -> bool:
    if not isinstance(value, str) or len(value) != 10:
        return False
    try:
        return bool(date.fromisoformat(value))
    except ValueError:
        return False


def _is_measure(value: object, units: tuple[str, ...]) -> bool:
    if not isinstance(value, Mapping) or set(value) != {"typed", "unit", "how"}:
        return False
    typed = value["typed"]
    is_number = isinstance(typed, str) and len(typed) <= 20 and _NUMBER.fullmatch(typed)
    return bool(is_number) and value["unit"] in units and value["how"] in _HOWS


def _is_json(value: object, _among: object, depth: int = DEEPEST_JSON) -> bool:
    """Plain JSON that every reader reads alike."""
    if value is None or isinstance(value, bool):
        return True
    if isinstance(value, str):
        return _is_unicode(value)
    if isinstance(value, int):
        return abs(value) < _SAFE_WHOLE
    if isinstance(value, float):
        return math.isfinite(value) and (
            value % 1 != 0 or not _SAFE_WHOLE <= abs(value) < _FIRST_EXPONENT
        )
    if depth == 0:
        return False
    if isinstance(value, list):
        return all(_is_json(part, (), depth - 1) for part in value)
    return isinstance(value, Mapping) and all(
        isinstance(name, str) and _is_unicode(name) and _is_json(part, (), depth - 1)
        for name, part in value.items()
    )


def _is_unicode(text: str) -> bool:
    """Half of a surrogate pair is no text and cannot be sealed."""
    return not any("\ud800" <= sign <= "\udfff" for sign in text)


def _is_ids(value: object, _among: object) -> bool:
    return isinstance(value, list) and len(value) <= MOST_REFS and all(map(_is_id, value))


def _is_words(value: object, among: tuple[str, ...]) -> bool:
    return isinstance(value, list) and len(set(map(str, value))) == len(value) and all(
        part in among for part in value
    )  # fmt: skip


def _is_count(value: object, _among: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value < _SAFE_WHOLE


_CHECKS: dict[str, Callable[[Any, tuple[str, ...]], bool]] = {
    "text": lambda value, _: _is_text(value, LONGEST_TEXT),
    "word": lambda value, among: isinstance(value, str) and value in among,
    "words": _is_words,
    "flag": lambda value, _: isinstance(value, bool),
    "count": _is_count,
    "measure": _is_measure,
    "time": _is_time,
    "date": _is_date,
    "ref": _is_id,
    "refs": _is_ids,
    "sha256": lambda value, _: isinstance(value, str) and _SHA256.fullmatch(value) is not None,
    "json": _is_json,
}
