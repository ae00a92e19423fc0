"""The same invented crew in every test: people, machines, seams, and a builder of facts.

``fact("test_weld", air="860 f", machine=MACHINE)`` is a whole, checked fact: a measure is
written as people type it, a fact stands for its id, what somebody must have been asked is None
unless given, and everything else that the kind needs comes from the cast. Id and time follow
from what is given alone, so a test reads the same facts in any order and on any machine.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from typing import Any

from lapwright.record.fact import KINDS, Fact, read_fact
from lapwright.record.replay import Record

JOB = "01976d00-0000-7000-8000-00000000000a"
DAY = "2026-05-04"
OFFSET = "-05:00"
DEVICE = "phone-1"
SEAMS = ("A-S001", "A-S002", "A-S003", "A-E001-1")

_PULLS = {"c": "cold", "p": "partial", "f": "full", "k": "skin", "b": "break", "s": "split",
          "x": "invalid"}  # fmt: skip
_SIGNS = ("smoke", "scorch", "glaze", "bubbles", "thinned", "scrim_print", "brittle")


def time(clock: str, *, day: str = DAY) -> str:
    """``"07:05"`` on the cast's day and roof; a whole moment stays as it is."""
    return clock if "T" in clock else f"{day}T{clock}{':00' * (clock.count(':') < 2)}{OFFSET}"


def later(clock: str, minutes: float, *, day: str = DAY) -> str:
    """The moment so many minutes after a time of the cast."""
    moment = datetime.fromisoformat(time(clock, day=day)) + timedelta(minutes=minutes)
    return moment.isoformat()


def measure(written: str) -> dict[str, str]:
    """A measure as people write it: ``"860 f"`` was set, ``"82 f measured"`` was measured."""
    typed, unit, *how = written.split()
    return {"typed": typed, "unit": unit, "how": how[0] if how else "set"}


def fact(
    kind: str,
    *,
    at: str = "07:00",
    day: str = DAY,
    by: Fact | str = "",
    entered_at: str | None = None,
    entered_by: str = "local",
    device: str = DEVICE,
    note: str = "",
    job: str = JOB,
    id: str | None = None,
    **body: Any,
) -> Fact:
    """One fact, checked as a server checks it; ``id`` only where a test cares about it."""
    whole = {field.name: None for field in KINDS[kind].fields if field.need == "asked"}
    whole |= _usual(kind)
    whole |= {name: _plain(kind, name, value) for name, value in body.items()}
    raw = {
        "job": job,
        "kind": kind,
        "at": time(at, day=day),
        "entered_at": time(at if entered_at is None else entered_at, day=day),
        "by": by.id if isinstance(by, Fact) else by,
        "entered_by": entered_by,
        "device": device,
        "body": whole,
        "note": note,
    }
    return read_fact({"id": id or _id(raw), **raw})


def _id(raw: dict[str, Any]) -> str:
    """A UUID of version 7 by the fact's time and what it says."""
    milliseconds = int(datetime.fromisoformat(raw["at"]).timestamp() * 1000)
    rest = hashlib.sha256(json.dumps(raw, sort_keys=True).encode()).hexdigest()
    text = f"{milliseconds:012x}7{rest[:3]}8{rest[3:18]}"
    return "-".join((text[:8], text[8:12], text[12:16], text[16:20], text[20:]))


def _plain(kind: str, name: str, value: Any) -> Any:
    if isinstance(value, Fact):
        return value.id
    if isinstance(value, list) and value and isinstance(value[0], Fact):
        return [each.id for each in value]
    is_measure = any(field.name == name and field.type == "measure" for field in KINDS[kind].fields)
    return measure(value) if is_measure and isinstance(value, str) else value


def _usual(kind: str) -> dict[str, Any]:
    """What a fact of the cast holds unless a test says otherwise."""
    usual = _USUAL.get(kind, {})
    return {name: _plain(kind, name, value) for name, value in usual.items()}


_USUAL: dict[str, dict[str, Any]] = {
    "job": {"name": "Invented roof", "invented": True},
    "person": {"language": "en", "units": "us", "tasks": ["weld_field", "weld_detail", "probe"]},
    "machine": {"type": "automatic", "drive": "ft_min"},
    "power_setup": {"source": "1", "dedicated": True, "gauge": "10 AWG", "cord_length": "100 ft"},
    "lot": {"membrane": "tpo", "thickness": "60 mil", "colour": "white", "backing": "reinforced"},
    "pairing": {"aged": False},
    "rules": {"edition": "1", "clauses": []},
    "conditions": {
        "ambient": "80 f measured", "sheet": "80 f measured", "humidity": "50 percent measured",
        "wind": "light", "sun": "sun", "substrate": "foam", "dry": True, "clean": True,
    },
    "strip": {"width": "1 in", "band": "1.6 in", "evenness": "full"},
    "run_end": {"reason": "seam_end", "nozzle_lifted": True},
    "probe": {"result": "none"},
    "defect": {"type": "edge_void", "found_by": "probe", "length": "1 ft"},
    "repair": {"method": "patch", "size": "6 in"},
    "reprobe": {"result": "closed"},
    "cut": {"why": "planned", "length": "2 ft"},
    "event": {"answer": "happened"},
    "correction": {"reason": "mistyped", "old": None},
    "decision": {
        "question": {}, "answer": {}, "worked_out": "server", "model": "two-edge-1",
        "accepted": True,
    },
    "sign_off": {"scope": "day", "statement": "seen", "open": {}, "head": "0" * 64},
}  # fmt: skip

# --- the crew: a foreman, a welder, a hand welder, a prober, a quality lead -------------------

ROSA = fact("person", at="06:30", name="Rosa", language="es", tasks=["sign", "weld_field"])
TOM = fact("person", at="06:30", name="Tom", tasks=["weld_field"])
INES = fact("person", at="06:30", name="Ines", language="es", units="metric")
LUZ = fact("person", at="06:30", name="Luz", language="es", tasks=["probe"])
SAM = fact("person", at="06:30", name="Sam", tasks=["grade", "sign", "probe"])
PEOPLE = (ROSA, TOM, INES, LUZ, SAM)

MACHINE = fact("machine", at="06:40", number="3", coolest_air="500 f", hottest_air="1148 f")
OTHER_MACHINE = fact("machine", at="06:40", number="4", drive="m_min")
GUN = fact("machine", at="06:40", number="7", type="hand", drive="dial")
POWER = fact("power_setup", at="06:45", volts="228 v measured")
OTHER_POWER = fact("power_setup", at="06:45", source="2", cord_length="50 ft")
NOZZLE = fact(
    "nozzle_setup", at="06:45", machine=MACHINE, nozzle_width="1.5 in",
    nozzle_clean=True, aligned=True, screen_clean=True,
)  # fmt: skip
LOT = fact("lot", at="06:45", number="L-1")
OTHER_LOT = fact("lot", at="06:45", number="L-2", colour="grey")
PAIRING = fact("pairing", at="06:50", upper=LOT, lower=LOT)
OTHER_PAIRING = fact("pairing", at="06:50", upper=OTHER_LOT, lower=OTHER_LOT)
CONDITIONS = fact("conditions", at="07:00")
JOB_FACT = fact("job", at="06:00")

SETUP: tuple[Fact, ...] = (
    JOB_FACT, *PEOPLE, MACHINE, OTHER_MACHINE, GUN, POWER, OTHER_POWER, NOZZLE, LOT, OTHER_LOT,
    PAIRING, OTHER_PAIRING, CONDITIONS,
)  # fmt: skip

CHAIN: dict[str, Fact] = {
    "machine": MACHINE, "operator": TOM, "power_setup": POWER, "pairing": PAIRING,
}  # fmt: skip


# --- what they do: each builder gives all facts of one thing done ------------------------------


def welded(
    number: int | str,
    air: str,
    pulls: str,
    *,
    at: str = "07:05",
    day: str = DAY,
    heat: str | None = "none",
    corner: str | None = "holds",
    speed: str = "10 ft_min",
    conditions: Fact = CONDITIONS,
    nozzle: Fact | None = NOZZLE,
    **more: Any,
) -> list[Fact]:
    """A test weld with its hot look and strips: one letter per pull (f, p, c, k, b, s, x).

    ``heat`` is "none" (all seven asked and answered no), the name of the one sign seen, or None:
    nobody looked, and there is no hot look at all.
    """
    weld = fact(
        "test_weld", at=at, day=day, number=str(number), air=air, speed=speed,
        conditions=conditions, nozzle_setup=nozzle, load="60 lbf", **(CHAIN | more),
    )  # fmt: skip
    looked: dict[str, Any] = dict.fromkeys(_SIGNS, False) | (
        {} if heat in (None, "none") else {heat: True}
    )
    when = time(at, day=day)
    look = fact("hot_look", at=later(when, 1), test_weld=weld, corner=corner, **looked)
    strips = [
        fact("strip", at=later(when, 12), of=weld, number=str(place), pull=_PULLS[letter])
        for place, letter in enumerate(pulls, start=1)
    ]
    return [weld, *([] if heat is None else [look]), *strips]


def decided(welds: Iterable[Fact], *, at: str = "07:40", day: str = DAY, **more: Any) -> Fact:
    """A set point that the foreman accepted, with the test welds among ``welds`` behind it."""
    behind = [one for one in welds if one.kind == "test_weld"]
    whole = {"air": "860 f", "speed": "10 ft_min"} | CHAIN | more
    return fact("decision", at=at, day=day, test_welds=behind, by=ROSA, **whole)


def ran(
    seam: str,
    start: str,
    end: str,
    *,
    at: str = "08:00",
    until: str | None = None,
    day: str = DAY,
    decision: Fact | None = None,
    reason: str = "seam_end",
    **more: Any,
) -> list[Fact]:
    """A run and its end, ten minutes later unless said; stations as ``"0 ft"``."""
    run = fact(
        "run", at=at, day=day, seam=seam, station=start, decision=decision, by=TOM,
        **(CHAIN | more),
    )  # fmt: skip
    done = later(time(at, day=day), 10) if until is None else time(until, day=day)
    return [run, fact("run_end", at=done, run=run, station=end, reason=reason, by=TOM)]


def morning() -> list[Fact]:
    """Set-up and the practice ladder of ``conftest.ladder_welds``, with its set point accepted."""
    rungs = [("600 f", "ccc", "none"), ("700 f", "pfp", "none"), ("800 f", "fff", "none"),
             ("900 f", "fff", "none"), ("1000 f", "fff", "none"), ("1148 f", "fff", "glaze"),
             ("860 f", "fff", "none")]  # fmt: skip
    welds = [
        one
        for place, (air, pulls, heat) in enumerate(rungs)
        for one in welded(place + 1, air, pulls, heat=heat, at=later("07:05", 4 * place))
    ]
    return [*SETUP, *welds, decided(welds)]


def record(*facts: Fact | Sequence[Fact]) -> Record:
    """The record of facts and lists of facts."""
    return Record(one for each in facts for one in ([each] if isinstance(each, Fact) else each))
