"""Power, dew and validity beside the window, as three rows for the page."""

from __future__ import annotations

from typing import Literal

from lapwright.cautions import Caution
from lapwright.job.change import Trigger
from lapwright.job.now import Present
from lapwright.job.rules import RuleBook
from lapwright.report.figures import Figures, Reader
from lapwright.report.recordfigures import because
from lapwright.units import SYMBOLS, from_si
from lapwright.words import share

State = Literal["good", "care", "stop", "not_said"]

# Said by the row itself or by the standing line of the page; no matter while the heat is
# enough; or not to be answered here.
_SAID_ELSEWHERE = (
    "cord_drop",
    "derating_unknown",
    "setting_not_reached",
    "air_close",
    "generator_outdoors",
    "not_an_electrical_design",
)
_OF_THE_CORD = ("volts_apart", "cord_overload", "cord_hot")  # a cord nobody named has none


def now_figures(now: Present, rules: RuleBook, reader: Reader) -> Figures:
    """Power, dew and validity in the reader's units and language.

    Parameters
    ----------
    now : Present
        The window with this moment beside it.
    rules : RuleBook
        The rules it was held against.
    reader : Reader
        Language and units.

    Returns
    -------
    dict
        JSON-ready rows ``power``, ``dew``, ``holds``, each with ``state`` (``good``, ``care``,
        ``stop``, ``not_said``), a short ``figure`` (null where there is none), ``says``,
        ``notes``, and its numbers; and ``good_for_min``, after which a reading is old.

    Examples
    --------
    >>> from lapwright.job.now import Said, present
    >>> from lapwright.readings.rules import read_rule_book
    >>> from lapwright.window.answer import Question
    >>> rules = read_rule_book([])
    >>> now = present(Question(ambient=300.0), said=Said(), rules=rules)
    >>> figures = now_figures(now, rules, Reader())
    >>> figures["dew"]["state"], figures["good_for_min"]
    ('not_said', 15)
    """
    return {
        "power": _power(now, reader),
        "dew": _dew(now, rules, reader),
        "holds": _holds(now, reader),
        "good_for_min": round(from_si(rules["conditions_age"].value, "min")),
    }


def _row(state: State, figure: str | None, says: str, *notes: str, **numbers: object) -> Figures:
    return {"state": state, "figure": figure, "says": says, "notes": list(notes), **numbers}


def _not_said(reader: Reader, *names: str) -> str:
    said = ", ".join(reader.say("now", f"name_{name}") for name in names)
    return reader.say("now", "not_said", {"names": said})


def _power(now: Present, reader: Reader) -> Figures:
    plan, said = now.power, now.said
    if plan is None:
        missing = (
            [name for name, value in (("cord", said.gauge), ("length", said.length)) if not value]
            if said.gauge or said.length
            else ["power"]
        )
        return _row("not_said", None, _not_said(reader, *missing))
    air_max, margin = plan.least.air_max, plan.least.air_max - plan.air
    numbers = {
        f"max_air_{reader.temperature}": reader.air(air_max),
        f"margin_{reader.temperature}": reader.difference(margin),
        "volts": round(plan.least.volts, 1),
    }
    asked = reader.say("now", "of_next" if now.point is None else "of_set_point")
    code = f"power_{plan.verdict}"
    data = {"air_max": air_max, "margin": abs(margin), "asked": asked}
    urgent = [caution for caution in plan.answer.cautions if _is_told(caution, now)]
    notes = [reader.say("now", "power_limits")] if plan.verdict == "short" else []
    notes += [reader.say("caution", caution.code, caution.data) for caution in urgent[:1]]
    states: dict[str, State] = {"enough": "good", "close": "care"}
    return _row(
        "care" if urgent and plan.verdict == "enough" else states.get(plan.verdict, "stop"),
        reader.write("air_max", air_max),
        reader.say("now", code, data),
        *notes,
        _from(now, reader),
        **numbers,
    )


def _is_told(caution: Caution, now: Present) -> bool:
    if caution.code in _OF_THE_CORD and not (now.said.gauge and now.said.length):
        return False
    return caution.code not in _SAID_ELSEWHERE


def _from(now: Present, reader: Reader) -> str:
    """What the hottest air was worked out from."""
    said = now.said
    if said.volts is not None:
        return reader.say("now", "from_volts", {"volts": said.volts})
    assert said.gauge is not None  # else the power is not said
    assert said.length is not None
    size, _, unit = said.gauge.name.partition(" ")
    gauge = f"{reader.plain(float(size))} {SYMBOLS.get(unit, unit)}"
    data = {"gauge": gauge, "length": said.length}
    if said.watts is None:
        return reader.say("now", "from_cord", data)
    kw = reader.plain(from_si(said.watts, "kw"))
    return reader.say("now", "from_cord_and_generator", {**data, "kw": kw})


def _dew(now: Present, rules: RuleBook, reader: Reader) -> Figures:
    said, margin = now.said, now.dew_margin_k
    if margin is None:
        asked = {
            "sheet": said.sheet,
            "ambient": said.ambient,
            "humidity": said.relative_humidity,
        }
        missing = [name for name, value in asked.items() if value is None]
        return _row("not_said", None, _not_said(reader, *missing))
    rule = rules["dew_margin"].value
    code = "dew_clear" if not now.is_wet else "dew_close" if margin > 0 else "dew_under"
    data = {"margin": abs(margin), "rule": reader.write("margin", rule)}
    return _row(
        "stop" if now.is_wet else "good",
        reader.write("margin", margin),
        reader.say("now", code, data),
        reader.say("now", "feel"),
        **{
            f"margin_{reader.temperature}": reader.difference(margin),
            f"rule_{reader.temperature}": reader.difference(rule),
        },
    )


def _holds(now: Present, reader: Reader) -> Figures:
    said, p = now.said, now.p_sound
    figure = None if p is None else share(p, reader.language)
    reasons = [_because(trigger, now, reader) for trigger in now.triggers]
    if now.is_beyond:
        reasons.append(reader.say("now", "beyond"))
    because = [
        {"code": t.name, "layer": t.clause.layer, "clause": t.clause.text} for t in now.triggers
    ]
    numbers = {"p_sound": None if p is None else round(p, 3), "test_because": because}
    asked = {"sheet": said.sheet, "ambient": said.ambient, "since_test": said.since_pass}
    missing = [name for name, value in asked.items() if value is None]
    notes = [_not_said(reader, *missing)] if missing else []
    if now.point is None or not now.answer.certified:
        return _row("care", None, reader.say("now", "no_point"), **numbers)
    if reasons:
        says = reader.say("now", "test_again", {"because": "; ".join(reasons)})
        return _row("stop", figure, says, *notes, **numbers)
    if p is None:
        return _row("not_said", None, notes[0], **numbers)
    says = reader.say("now", "holds", {"p_sound": p, "sheet": said.sheet})
    return _row("not_said" if missing else "good", figure, says, *notes, **numbers)


def _because(trigger: Trigger, now: Present, reader: Reader) -> str:
    """One reason with its figure and the limit it passed."""
    if trigger.name == "p_sound_low" and isinstance(trigger.now, float):
        level = trigger.clause.value
        data = {"p_sound": trigger.now, "sheet": now.said.sheet, "level": level}
        return reader.say("now", "p_sound_low", data)
    return because(trigger, reader)
