"""What changed since the last passing test weld, and whether a new one is due.

One pure function over what is known. It reminds with the reason and the clause; it
stops nobody and proves nothing. Not known is not "no change": it becomes one question.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields
from typing import Literal, get_args

from lapwright.job.rules import TRIGGERS, Clause, RuleBook, Urgency

Event = Literal[
    "doubt",
    "failed_cut",
    "failed_strip",
    "voids_close",
    "symptom",
    "wet",
    "shift_start",
    "lunch",
    "restart",
    "working_temperature",
    "power_cut",
    "realigned",
]
EVENTS: tuple[Event, ...] = get_args(Event)

_ROUNDING = 1e-6  # K, m, s or m/s; more than converting units leaves, less than anybody reads
_MOVED = {"ambient": "air_moved", "sheet": "sheet_moved", "thickness": "thickness_changed"}


@dataclass(frozen=True)
class Situation:
    """Who welds what with what, and in which weather. None is not known.

    Parameters
    ----------
    operator, machine, nozzle, generator, cord : str, optional
        As the crew numbers them.
    membrane, colour, lot, substrate : str, optional
        Sheet kind, colour, production run; what lies below.
    wind, sun : str, optional
        Words: calm, light, breezy, strong; sun, cloud, shade.
    thickness : float, optional
        Nominal thickness of the sheet. [m]
    ambient, sheet : float, optional
        Air temperature on the roof; sheet before the nozzle. [K]
    """

    operator: str | None = None
    machine: str | None = None
    nozzle: str | None = None
    generator: str | None = None
    cord: str | None = None
    membrane: str | None = None
    colour: str | None = None
    lot: str | None = None
    substrate: str | None = None
    wind: str | None = None
    sun: str | None = None
    thickness: float | None = None
    ambient: float | None = None
    sheet: float | None = None


_SITUATION = tuple(field.name for field in fields(Situation))


@dataclass(frozen=True)
class Known:
    """What is known of one chain at one moment.

    Parameters
    ----------
    now : Situation
        At present.
    passed : Situation, optional
        At the last passing test weld; None when none is known.
    events : tuple of str
        What the crew reported since that pass, or at any time when there is none: any
        of :data:`EVENTS`.
    since_pass : float, optional
        Time since that pass. [s]
    welded : float, optional
        Seam welded since that pass. [m]
    longest_stop : float, optional
        Longest stop since that pass; 0 when there was none. [s]
    speed : float, optional
        Travel speed now. [m/s]
    tested_speeds : tuple of float, optional
        Slowest and fastest speed that passing test welds cover. [m/s]
    p_sound : float, optional
        P(sound) of the set point under present conditions; None when there is no window
        to ask. [-]
    """

    now: Situation
    passed: Situation | None = None
    events: tuple[Event, ...] = ()
    since_pass: float | None = None
    welded: float | None = None
    longest_stop: float | None = None
    speed: float | None = None
    tested_speeds: tuple[float, float] | None = None
    p_sound: float | None = None


@dataclass(frozen=True)
class Trigger:
    """One reason to weld a test now.

    Parameters
    ----------
    name : str
        Name of its rule, and key of its sentence under ``[trigger]``.
    clause : Clause
        The clause that governs; its value is the limit that was passed, if it has one.
    before, now : float or str, optional
        What stood at the last pass and what stands now; ``now`` alone where something
        has been counted since the pass. SI.
    asks : tuple of str
        For ``not_known``: what somebody must say.
    """

    name: str
    clause: Clause
    before: float | str | None = None
    now: float | str | None = None
    asks: tuple[str, ...] = ()

    @property
    def urgency(self) -> Urgency:
        """Whether the chain halts, a test is due, somebody is asked, or a notice."""
        return TRIGGERS[self.name]


@dataclass(frozen=True)
class _Seen:
    """One comparison: is it over its rule? None when a side of it is not known."""

    rule: str
    asks: str
    fires: bool | None
    before: float | str | None = None
    now: float | str | None = None


def _compared(passed: Situation, now: Situation, rules: RuleBook) -> Iterator[_Seen]:
    for name in _SITUATION:
        rule = _MOVED.get(name, f"{name}_changed")
        before, after = getattr(passed, name), getattr(now, name)
        if before is None or after is None:
            fires = None
        elif name in _MOVED:
            fires = abs(after - before) > rules[rule].value + _ROUNDING
        else:
            fires = after != before
        yield _Seen(rule, name, fires, before, after)


def _counted(known: Known, rules: RuleBook) -> Iterator[_Seen]:
    def reached(rule: str, asks: str, value: float | None) -> _Seen:
        fires = None if value is None else value >= rules[rule].value - _ROUNDING
        return _Seen(rule, asks, fires, now=value)

    yield reached("long_stop", "longest_stop", known.longest_stop)
    yield reached("time_since_pass", "since_pass", known.since_pass)
    yield reached("feet_since_pass", "welded", known.welded)
    if known.now.ambient is None:
        yield _Seen("cold_day", "ambient", None)
    elif known.now.ambient < rules["cold_extra_tests"].value - _ROUNDING:
        yield reached("cold_day", "since_pass", known.since_pass)
    if known.speed is None or known.tested_speeds is None:
        yield _Seen("speed_beyond_tested", "speed", None)
    else:
        slowest, fastest = known.tested_speeds
        beyond = not slowest - _ROUNDING <= known.speed <= fastest + _ROUNDING
        yield _Seen("speed_beyond_tested", "speed", beyond, now=known.speed)


def due(known: Known, rules: RuleBook) -> tuple[Trigger, ...]:
    """Why a test weld is due now, the most urgent reason first.

    Parameters
    ----------
    known : Known
        One chain: what passed, what stands now, what happened between.
    rules : RuleBook
        The job's rules merged with the defaults, so that every trigger is in it.

    Returns
    -------
    tuple of Trigger
        Empty when nothing is due. Everything that is not known is one trigger,
        ``not_known``, with the list of questions.

    Notes
    -----
    A rule that is off neither fires nor asks, and a mere notice is not worth a question.
    ``p_sound`` is computed, not asked for: without a window the other triggers speak
    alone. Without a last pass nothing can be compared: ``no_pass`` and events remain.

    References
    ----------
    Each clause names its own; see ``default-rules.toml``.
    """
    seen = [_Seen(event, event, True) for event in dict.fromkeys(known.events)]
    if known.passed is None:
        seen.append(_Seen("no_pass", "no_pass", True))
    else:
        seen += [*_compared(known.passed, known.now, rules), *_counted(known, rules)]
    if known.p_sound is not None:
        low = known.p_sound < rules["p_sound_low"].value
        seen.append(_Seen("p_sound_low", "p_sound", low, now=known.p_sound))
    seen = [one for one in seen if rules.is_on(one.rule)]
    found = [
        Trigger(one.rule, rules[one.rule].governing, one.before, one.now)
        for one in seen
        if one.fires
    ]
    unknown = [one for one in seen if one.fires is None and TRIGGERS[one.rule] == "due"]
    asks = tuple(dict.fromkeys(one.asks for one in unknown))
    if asks:
        found.append(Trigger("not_known", rules["not_known"].governing, asks=asks))
    table = list(TRIGGERS)
    return tuple(sorted(found, key=lambda trigger: table.index(trigger.name)))


def out_of_service(passes: Sequence[bool], *, rules: RuleBook) -> bool:
    """Whether a machine or an operator may not weld until the test welds pass again.

    Parameters
    ----------
    passes : sequence of bool
        Their test welds, oldest first, True for a pass. Ask once with the welds of the
        machine and once with those of the operator: a pair is out when either is.
    rules : RuleBook
        For ``fails_to_stop`` and ``passes_to_return``.

    Returns
    -------
    bool
        True from the second failure in a row until two passes in a row.

    Notes
    -----
    A failed test weld is repeated; the repeat that fails is the second failure. A pass
    between two failures starts the count again.

    References
    ----------
    A landfill liner quality plan; its edition is in ``default-rules.toml``.
    """
    out, row, last = False, 0, None
    for passed in passes:
        row = row + 1 if passed == last else 1
        last = passed
        if out and passed and row >= rules["passes_to_return"].value:
            out = False
        elif not passed and row >= rules["fails_to_stop"].value:
            out = True
    return out
