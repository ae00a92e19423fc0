"""What a phone takes along to answer for itself where there is no signal."""

from __future__ import annotations

import math
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np

from lapwright import __version__
from lapwright.job.morning import SAME_SETTING, Morning
from lapwright.job.rules import TRIGGERS, RuleBook
from lapwright.physics.heat import MOST_SHEET_CHANGE, MOST_SPEED_RATIO, REFUSE_FOURIER, fourier
from lapwright.window.answer import MODEL, NO_SETTING, Question, Verdict
from lapwright.window.belief import Belief
from lapwright.window.doubts import ODD_STRIPS, UNLIKELY
from lapwright.window.edges import Conditions
from lapwright.window.nextweld import LITTLE_TO_LEARN, SPEED_STEP, air_settings, speed_settings
from lapwright.window.particles import PARTICLES, Law, draw, law
from lapwright.window.prior import STEP
from lapwright.window.setpoint import CONFIRM_WITHIN, LEAST_WELDS, SAME_LOG_SPEED, SAME_SHEET
from lapwright.window.verdict import ENOUGH_WELDS, NO_WINDOW, SATURATED

LEVEL_MARGIN = 0.03  # -; P(sound) a certificate needs above the level, at the least; our choice
LEVEL_ERRORS = 2.0  # standard errors of P(sound) it needs above it; our choice
DOUBT_SOONER = 2.0  # -; a weld is odd to the phone at twice the chance, for the error of chance
LEAST_EFFECTIVE = 100.0  # particles that must still count, else the phone asks for a signal

PHONE_RULES = (  # of the job, those that a phone judges by where there is no signal
    "test_weld_strips", "fused_width", "fused_width_hand", "grade_only", "strip_cooling",
    "probe_cooling", "conditions_age", "air_moved", "sheet_moved", "time_since_pass", "long_stop",
    "feet_since_pass",
)  # fmt: skip


def phone_rules(book: RuleBook) -> dict[str, Any]:
    """Limits in SI that a phone takes along, and under ``off`` the triggers that ask for nothing.

    Examples
    --------
    >>> from lapwright.readings.rules import read_rule_book
    >>> rules = phone_rules(read_rule_book([]))
    >>> rules["long_stop"], rules["off"]
    (1800.0, [])
    """
    limits = {name: book[name].value for name in PHONE_RULES}
    return {
        **{name: None if math.isinf(limit) else limit for name, limit in limits.items()},
        "off": [name for name in TRIGGERS if not book.is_on(name)],
    }


@dataclass(frozen=True)
class Rules:
    """What the phone decides by: the server's rules, stricter where chance may fool it.

    Parameters
    ----------
    level, level_margin, level_errors : float
        P(sound) a set point must reach, and what a certificate of the phone asks on top: so
        much, and so many standard errors. [-]
    least_effective : float
        Effective number of particles below which the phone is not sure. [-]
    least_welds, enough_welds : int
        Welds before anything is certified, and before "no window" or "saturated" is said.
    no_window, saturated, unlikely : float
        Chances behind those verdicts, and twice the server's behind an odd weld. [-]
    odd_strips : int
        Strips by which a hotter weld must be colder to contradict.
    confirm_within, confirm_margin, same_log_speed, same_sheet : float
        How near a confirming weld lies, and how much nearer for a certificate of the phone,
        whose set point may be a step off the server's. [K, K, -, K]
    most_speed_ratio, most_sheet_change, slowest : float
        How far a window is carried, and the speed below which it is not. [-, K, m/s]
    little_to_learn : float
        [nat]
    same_setting, speed_step : float
        When two settings are one. [K, m/s]
    no_setting : tuple of str
        Verdicts without a set point.
    """

    level: float
    slowest: float
    level_margin: float = LEVEL_MARGIN
    level_errors: float = LEVEL_ERRORS
    least_effective: float = LEAST_EFFECTIVE
    least_welds: int = LEAST_WELDS
    enough_welds: int = ENOUGH_WELDS
    no_window: float = NO_WINDOW
    saturated: float = SATURATED
    unlikely: float = DOUBT_SOONER * UNLIKELY
    odd_strips: int = ODD_STRIPS
    confirm_within: float = CONFIRM_WITHIN
    confirm_margin: float = STEP
    same_log_speed: float = SAME_LOG_SPEED
    same_sheet: float = SAME_SHEET
    most_speed_ratio: float = MOST_SPEED_RATIO
    most_sheet_change: float = MOST_SHEET_CHANGE
    little_to_learn: float = LITTLE_TO_LEARN
    same_setting: float = SAME_SETTING
    speed_step: float = SPEED_STEP
    no_setting: tuple[Verdict, ...] = NO_SETTING


@dataclass(frozen=True)
class Asked:
    """What the day asks, as far as the phone needs it.

    Parameters
    ----------
    speed, sheet, ambient : float or None
        Stated conditions; where None, those of the latest weld count. [m/s, K, K]
    start : Conditions
        What counts as long as there is no weld.
    max_air : float
        Hottest air the machine reaches as it stands. [K]
    policy, vary, plan, strips
        As in :class:`~lapwright.window.answer.Question`.
    airs, speeds, rungs : tuple of float
        Settings to choose from, ascending; rungs of the ladder. [K, m/s, K]
    cases : dict of str to list or float
        Drift of the hours ahead, as :class:`~lapwright.window.drift.Cases`.
    """

    speed: float | None
    sheet: float | None
    ambient: float | None
    start: Conditions
    max_air: float
    policy: str
    vary: str
    plan: str
    strips: int
    airs: tuple[float, ...]
    speeds: tuple[float, ...]
    rungs: tuple[float, ...]
    cases: dict[str, list[float] | float]


@dataclass(frozen=True)
class SampleTable:
    """All that ``window.js`` needs besides the welds; ``as_json`` is what goes to the phone.

    Parameters
    ----------
    version, model : str
        As in an answer: a phone must not weigh by another model than the server.
    law : Law
        Constants of the likelihood and of the map.
    rules : Rules
        Of the decision.
    asked : Asked
        By the day.
    particles : dict of str to list
        Columns of the sample.
    """

    version: str
    model: str
    law: Law
    rules: Rules
    asked: Asked
    particles: dict[str, list[float]]

    def as_json(self) -> dict[str, Any]:
        """Plain dicts, lists and numbers, all in SI."""
        return asdict(self)


def sample_table(
    question: Question, *, rng: np.random.Generator, particles: int = PARTICLES
) -> SampleTable:
    """The table for the rest of the day, drawn when the phone last had a signal.

    It holds for the question's membrane, earlier day, machine limits, drift and policy; a
    change of any of them wants a new table. Its welds only say where to draw thickly.

    Raises
    ------
    LapwrightError
        ``conditions_missing``: no test weld yet and no ambient or sheet temperature.
    """
    morning = Morning(question)
    cases = morning.choice.cases
    slow = float(fourier(1.0, thickness=question.thickness)) / REFUSE_FOURIER
    prior = morning.belief.prior
    return SampleTable(
        version=__version__,
        model=MODEL,
        law=law(prior),
        rules=Rules(level=question.level, slowest=slow),
        asked=Asked(
            speed=question.speed,
            sheet=question.sheet,
            ambient=question.ambient,
            start=morning.conditions,
            max_air=question.max_air,
            policy=question.policy,
            vary=question.vary,
            plan=question.plan,
            strips=question.strips,
            airs=tuple(air_settings(question.min_air, question.max_air).tolist()),
            speeds=tuple(speed_settings().tolist()),
            rungs=tuple(morning.rungs.tolist()),
            cases={
                "weight": cases.weight.tolist(),
                "sheet": cases.sheet.tolist(),
                "loss": cases.loss.tolist(),
                "shift": cases.shift.tolist(),
                "volts_ratio": cases.volts_ratio,
            },
        ),
        particles=draw(Belief.before(prior), morning.belief, rng=rng, count=particles).columns(),
    )
