"""The present beside the window: heat at the tool, dew, and whether the set point holds.

Joins the morning with what somebody says of this moment. What nobody says stays unknown:
it is never taken for unchanged, and never for dry.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from lapwright.errors import OutOfRange
from lapwright.job.change import Known, Situation, Trigger, due
from lapwright.job.morning import Morning
from lapwright.job.power import PowerPlan, plan_power
from lapwright.job.rules import RuleBook
from lapwright.physics.air import dew_point
from lapwright.physics.cords import Gauge, find_gauge
from lapwright.physics.heater import Tool
from lapwright.physics.sheet import dew_margin, is_clear_of_dew
from lapwright.physics.supply import Cord, Generator, PowerSetup
from lapwright.window.answer import NO_SETTING, Answer, Question
from lapwright.window.setpoint import SetPoint

_FELL_SHORT = "air_not_reached"  # caution
_ROOM = 1.0  # K; a supply too weak for the coolest setting leaves this much to choose from
_BESIDE_VOLTS = Cord(find_gauge("10 AWG"), 30.48)  # a cord nobody named: measured volts decide
_LIMITS = {  # open limits; no roof and no working day lies beyond, our choice
    "sheet": (213.0, 394.0),  # K
    "ambient": (249.0, 334.0),  # K
    "volts": (0.0, 1000.0),  # V
    "length": (0.0, 1000.0),  # m
    "watts": (0.0, 1e6),  # W
}


@dataclass(frozen=True)
class Said:
    """What somebody says of this moment. None is not said.

    Parameters
    ----------
    sheet, ambient : float, optional
        Sheet before the nozzle; air on the roof. [K]
    relative_humidity : float, optional
        Of that air, above 0 to 1. [-]
    volts : float, optional
        At the machine under load. [V]
    gauge : Gauge, optional
        Size of the cord to the machine.
    length : float, optional
        Of that cord. [m]
    watts : float, optional
        Continuous watts of the generator. [W]
    since_pass : float, optional
        Time since the last passing test weld. [s]

    Raises
    ------
    OutOfRange
        A value no roof, cord or generator has.
    """

    sheet: float | None = None
    ambient: float | None = None
    relative_humidity: float | None = None
    volts: float | None = None
    gauge: Gauge | None = None
    length: float | None = None
    watts: float | None = None
    since_pass: float | None = None

    def __post_init__(self) -> None:
        for name, (low, high) in _LIMITS.items():
            value = getattr(self, name)
            if value is not None and not low < value < high:
                raise OutOfRange(name, value, above=low, below=high)

    @property
    def has_power(self) -> bool:
        """Enough is said to know the heat: volts measured, or the whole cord."""
        return self.volts is not None or (self.gauge is not None and self.length is not None)


@dataclass(frozen=True)
class Present:
    """The window with this moment beside it.

    Parameters
    ----------
    said : Said
        What somebody said.
    morning : Morning
        Worked out up to the hottest air that the power allows.
    answer : Answer
        Its answer.
    power : PowerPlan or None
        Asked for the setting that the strips alone would choose; None when not said.
    dew_margin_k : float or None
        Sheet above the dew point; None when not said. [K of difference]
    is_wet : bool
        A gate: by the rule, no welding until a person has found the lap dry by hand.
    point : SetPoint or None
        The set point; None where nothing may be welded with.
    p_sound : float or None
        Its P(sound) at the sheet said; None when not said or beyond the tests. [-]
    is_beyond : bool
        The sheet said lies beyond what the tests may carry.
    triggers : tuple of Trigger
        Why a test weld is due, as far as what was said can tell; most urgent first.
    """

    said: Said
    morning: Morning
    answer: Answer
    power: PowerPlan | None
    dew_margin_k: float | None
    is_wet: bool
    point: SetPoint | None
    p_sound: float | None
    is_beyond: bool
    triggers: tuple[Trigger, ...]


def present(question: Question, *, said: Said, rules: RuleBook) -> Present:
    """The morning's answer, and what this moment does to it.

    Parameters
    ----------
    question : Question
        The morning's.
    said : Said
        Of this moment.
    rules : RuleBook
        The job's rules merged with the defaults.

    Returns
    -------
    Present

    Raises
    ------
    LapwrightError, OutOfRange
        As :class:`Morning` and :func:`plan_power`.

    Notes
    -----
    Edges and set point stay those of the conditions tested or asked for; this moment's
    sheet is held against them. The power said is the power now: settings and the next weld
    stop at its hottest air, while earlier welds keep the heat they were set to. Counting
    them at today's lesser heat would move the bottom down, towards a cold weld.

    Examples
    --------
    >>> from lapwright.job.rules import merge
    >>> from lapwright.readings.rules import default_layer
    >>> rules, question = merge([default_layer()]), Question(ambient=300.0)
    >>> said = Said(sheet=290.0, ambient=290.0, relative_humidity=0.9)
    >>> now = present(question, said=said, rules=rules)
    >>> now.is_wet, now.power, [trigger.name for trigger in now.triggers]
    (True, None, ['no_pass'])
    """
    morning = Morning(question)
    answer = morning.answer()
    power = _power(said, ambient=morning.conditions.ambient, answer=answer)
    if power is not None and power.least.air_max < question.max_air:
        reach = max(power.least.air_max, question.min_air + _ROOM)
        welds = tuple(replace(weld, measured_air=weld.true_air) for weld in morning.welds)
        morning = Morning(replace(question, welds=welds, max_air=reach))
        answer = _with_reach_of(answer, morning.answer())
    margin, is_wet = _dew(said, rules)
    point = None if answer.verdict in NO_SETTING else answer.set_point
    p_sound = _p_sound(morning, point, said.sheet)
    return Present(
        said=said,
        morning=morning,
        answer=answer,
        power=power,
        dew_margin_k=margin,
        is_wet=is_wet,
        point=point,
        p_sound=p_sound,
        is_beyond=point is not None and said.sheet is not None and p_sound is None,
        triggers=_due(said, morning, answer, p_sound, rules),
    )


def _with_reach_of(before: Answer, after: Answer) -> Answer:
    """The answer under less power; which weld fell short was known before it."""
    fell_short = [caution for caution in before.cautions if caution.code == _FELL_SHORT]
    others = [caution for caution in after.cautions if caution.code != _FELL_SHORT]
    return replace(after, cautions=(*fell_short, *others))


def _power(said: Said, *, ambient: float, answer: Answer) -> PowerPlan | None:
    if not said.has_power:
        return None
    cord = _BESIDE_VOLTS
    if said.gauge is not None and said.length is not None:
        cord = Cord(said.gauge, said.length)
    cord = replace(cord, tools=(Tool(measured=said.volts),))
    generator = Generator() if said.watts is None else Generator(watts=said.watts)
    setup = PowerSetup(generator, (cord,), ambient=said.ambient or ambient)
    return plan_power(setup, air=(answer.set_point or answer.next).air, what_ifs=())


def _dew(said: Said, rules: RuleBook) -> tuple[float | None, bool]:
    """Sheet above the dew point [K of difference], and whether that is too little to weld."""
    if said.sheet is None or said.ambient is None or said.relative_humidity is None:
        return None, False
    dew = dew_point(said.ambient, relative_humidity=said.relative_humidity)
    clear = is_clear_of_dew(said.sheet, dew_point=dew, margin=rules["dew_margin"].value)
    return float(dew_margin(said.sheet, dew_point=dew)), not clear


def _p_sound(morning: Morning, point: SetPoint | None, sheet: float | None) -> float | None:
    tested = morning.soundness.tested
    if point is None or sheet is None or tested is None:
        return None
    if not tested.reaches(speed=point.speed, sheet=sheet):
        return None
    return float(morning.soundness.at(point.air, speed=point.speed, sheet=sheet))


def _due(
    said: Said, morning: Morning, answer: Answer, p_sound: float | None, rules: RuleBook
) -> tuple[Trigger, ...]:
    """What was said, against the weld that confirms the set point; questions are left out."""
    confirming = [weld for weld in morning.welds if weld.number == answer.confirmed_by]
    proof = confirming[0] if answer.certified else None
    tested = morning.soundness.tested
    known = Known(
        now=Situation(ambient=said.ambient, sheet=said.sheet),
        passed=None if proof is None else Situation(ambient=proof.ambient, sheet=proof.sheet),
        since_pass=said.since_pass,
        speed=None if answer.set_point is None else answer.set_point.speed,
        tested_speeds=None if tested is None else (tested.slowest, tested.fastest),
        p_sound=p_sound,
    )
    return tuple(trigger for trigger in due(known, rules) if trigger.urgency in ("halt", "due"))
