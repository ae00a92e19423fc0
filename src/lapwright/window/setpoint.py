"""The setting that stays sound: policies side by side, margins, certificate."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from lapwright.physics.heat import (
    MOST_SPEED_RATIO,
    air_at,
    equivalent_air,
    interface_temperature,
    speed_for,
)
from lapwright.window.belief import Belief
from lapwright.window.drift import Cases
from lapwright.window.edges import Conditions
from lapwright.window.nextweld import SPEED_STEP
from lapwright.window.prior import STEP, Values
from lapwright.window.soundness import Soundness
from lapwright.window.strips import TestWeld

Policy = Literal["steady", "middle", "low"]
POLICIES: tuple[Policy, ...] = ("steady", "middle", "low")

LEVEL = 0.90  # -; P(sound) a set point must reach; our choice, 0.8 certified false windows
CONFIRM_WITHIN = 30 / 1.8 + 1e-6  # K; 30 F: so near a clean weld confirms; our choice
SAME_LOG_SPEED = 0.10  # -; a weld within a tenth of the speed confirms it; our choice
SAME_SHEET = 20 / 1.8  # K; and within 20 F of the sheet, as a new test is due beyond; our choice
LEAST_WELDS = 2  # test welds before anything is certified; our choice


@dataclass(frozen=True)
class SetPoint:
    """A setting with what stands behind it.

    Parameters
    ----------
    air, speed : float
        Setting. [K, m/s]
    p_sound : float
        P(sound) at the stated conditions now. [-]
    p_sound_drift : float
        P(sound) averaged over the stated drift. [-]
    margin_bottom, margin_top : float
        Air temperature above the expected bottom and below the expected top. [K]
    faster, slower : float or None
        How much faster the lap falls to the bottom, how much slower it climbs to the
        top; None when no speed does. [m/s]
    """

    air: float
    speed: float
    p_sound: float
    p_sound_drift: float
    margin_bottom: float
    margin_top: float
    faster: float | None
    slower: float | None


@dataclass(frozen=True)
class Sensitivity:
    """P(sound) at the set point after one change of the day.

    Parameters
    ----------
    change : str
        Code: ``"sheet_colder"``, ``"sheet_warmer"``, ``"air_cooler"``, ``"air_hotter"``
        (10 F each), ``"faster"``, ``"slower"`` (1 ft/min each).
    p_sound : float
        [-]
    """

    change: str
    p_sound: float


@dataclass(frozen=True)
class Choice:
    """Everything a set point is chosen from.

    Parameters
    ----------
    belief : Belief
        After the test welds.
    soundness : Soundness
        Its map.
    conditions : Conditions
        Of the day now.
    cases : Cases
        Of the drift ahead.
    air, speed : ndarray, shape (n,)
        Candidate settings, pairwise, from the coolest lap to the hottest. [K, m/s]
    max_air : float
        Hottest air the machine reaches as it stands. [K]
    level : float
        P(sound) that a set point must reach. [-]
    """

    belief: Belief
    soundness: Soundness
    conditions: Conditions
    cases: Cases
    air: Values
    speed: Values
    max_air: float
    level: float = LEVEL

    def now(self, air: Values, speed: Values) -> Values:
        """P(sound) of settings at the conditions now."""
        return self.soundness.at(air, speed=speed, sheet=self.conditions.sheet)

    def over_drift(self, air: Values, speed: Values) -> Values:
        """P(sound) of settings averaged over the cases of the drift.

        Air is held by the machine's control up to what its heater reaches: that ceiling
        falls with the square of the volts, the rest of the drift adds to what is set.
        """
        rise = self.max_air - self.conditions.ambient
        ceiling = self.conditions.ambient + rise * self.cases.volts_ratio**2
        held = np.minimum(np.asarray(air, dtype=float)[:, None], ceiling)
        sheet = self.conditions.sheet + self.cases.sheet[None, :]
        met = held - self.cases.loss * (held - sheet) + self.cases.shift
        sound = self.soundness.at(met, speed=np.asarray(speed)[:, None], sheet=sheet)
        return np.asarray(sound @ self.cases.weight)


def choose(choice: Choice, policy: Policy) -> SetPoint | None:
    """Set point by one policy.

    Parameters
    ----------
    choice : Choice
        What is known.
    policy : {"steady", "middle", "low"}
        Highest expected soundness over the drift; middle of the expected edges; or
        lowest heat that reaches the level now.

    Returns
    -------
    SetPoint or None
        None when ``"low"`` finds no setting that reaches the level.

    References
    ----------
    Middle of the window against lowest sound heat: trade sources disagree, common practice.
    """
    if policy == "steady":
        best = int(np.argmax(choice.over_drift(choice.air, choice.speed)))
    elif policy == "middle":
        heat = equivalent_air(
            choice.air,
            sheet=choice.conditions.sheet,
            speed=choice.speed,
            kappa=choice.belief.mean_kappa,
        )
        best = int(np.argmin(np.abs(heat - sum(choice.belief.mean_edges) / 2)))
    else:
        reached = np.flatnonzero(choice.now(choice.air, choice.speed) >= choice.level)
        if not len(reached):
            return None
        best = int(reached[0])
    return set_point_at(choice, float(choice.air[best]), float(choice.speed[best]))


def set_point_at(choice: Choice, air: float, speed: float) -> SetPoint:
    """A given setting with its chances and margins.

    Parameters
    ----------
    choice : Choice
        What is known.
    air, speed : float
        The setting. [K, m/s]

    Returns
    -------
    SetPoint
    """
    sheet, kappa = choice.conditions.sheet, choice.belief.mean_kappa
    bottom, top = (
        float(air_at(edge, sheet=sheet, speed=speed, kappa=kappa))
        for edge in choice.belief.mean_edges
    )
    at_bottom, at_top = (
        speed_for(
            float(interface_temperature(edge, sheet=sheet, speed=speed, kappa=kappa)),
            air=air,
            sheet=sheet,
            kappa=kappa,
        )
        if edge > sheet  # else the sheet alone is past this edge, at any speed
        else None
        for edge in (bottom, top)
    )
    airs, speeds = np.array([air]), np.array([speed])
    return SetPoint(
        air=air,
        speed=speed,
        p_sound=float(choice.now(airs, speeds)[0]),
        p_sound_drift=float(choice.over_drift(airs, speeds)[0]),
        margin_bottom=air - bottom,
        margin_top=top - air,
        faster=None if at_bottom is None else at_bottom - speed,
        slower=None if at_top is None else speed - at_top,
    )


def fastest(choice: Choice) -> SetPoint | None:
    """The fastest speed that still holds the level at some air temperature.

    Parameters
    ----------
    choice : Choice
        What is known. Speeds are tried 0.5 ft/min apart, no further than 1.4 times
        from the tested ones.

    Returns
    -------
    SetPoint or None
        None when no speed holds the level, or nothing was tested yet.
    """
    tested = choice.soundness.tested
    if tested is None:
        return None
    first = np.ceil(tested.slowest / MOST_SPEED_RATIO / SPEED_STEP)
    last = np.floor(tested.fastest * MOST_SPEED_RATIO / SPEED_STEP + 1e-9)
    speeds = SPEED_STEP * np.arange(first, last + 1)
    airs = np.unique(choice.air)
    sound = choice.now(airs[:, None], speeds[None, :])
    holding = np.flatnonzero(sound.max(axis=0) >= choice.level)
    if not len(holding):
        return None
    best = holding[-1]
    return set_point_at(choice, float(airs[int(np.argmax(sound[:, best]))]), float(speeds[best]))


def sensitivities(choice: Choice, point: SetPoint) -> tuple[Sensitivity, ...]:
    """What would change the answer most: P(sound) after one change each, worst first.

    Parameters
    ----------
    choice : Choice
        What is known.
    point : SetPoint
        The set point the changes happen to.

    Returns
    -------
    tuple of Sensitivity
    """
    speed, sheet = point.speed, choice.conditions.sheet
    changes = {
        "sheet_colder": (point.air, speed, sheet - STEP),
        "sheet_warmer": (point.air, speed, sheet + STEP),
        "air_cooler": (point.air - STEP, speed, sheet),
        "air_hotter": (point.air + STEP, speed, sheet),
        "faster": (point.air, speed + 2 * SPEED_STEP, sheet),
        "slower": (point.air, max(speed - 2 * SPEED_STEP, SPEED_STEP), sheet),
    }
    found = [
        Sensitivity(change, float(choice.soundness.at(air, speed=at_speed, sheet=at_sheet)))
        for change, (air, at_speed, at_sheet) in changes.items()
    ]
    return tuple(sorted(found, key=lambda each: each.p_sound))


def air_distance(belief: Belief, conditions: Conditions, point: SetPoint, weld: TestWeld) -> float:
    """How far a weld's heat lies from the set point's, as air temperature now.

    Parameters
    ----------
    belief : Belief
        Gives kappa.
    conditions : Conditions
        Of the day now.
    point : SetPoint
        The set point.
    weld : TestWeld
        Made at any speed and sheet.

    Returns
    -------
    float
        Never negative. [K of difference]
    """
    kappa, sheet = belief.mean_kappa, conditions.sheet
    heat = equivalent_air(weld.true_air, sheet=weld.sheet, speed=weld.speed, kappa=kappa)
    here = float(air_at(heat, sheet=sheet, speed=point.speed, kappa=kappa))
    return abs(here - point.air)


def confirming_weld(
    belief: Belief, conditions: Conditions, point: SetPoint, welds: Sequence[TestWeld]
) -> TestWeld | None:
    """The clean test weld that confirms a set point, if there is one.

    Parameters
    ----------
    belief : Belief
        Gives kappa, to bring each weld to the conditions now.
    conditions : Conditions
        Of the day now.
    point : SetPoint
        What is to be confirmed.
    welds : sequence of TestWeld
        Test welds so far.

    Returns
    -------
    TestWeld or None
        The nearest weld within :data:`CONFIRM_WITHIN` with every strip full, looked at
        and without overheat signs, welded at about the speed and sheet of now.
    """
    near = []
    for weld in welds:
        distance = air_distance(belief, conditions, point, weld)
        at_speed = abs(np.log(weld.speed / point.speed)) <= SAME_LOG_SPEED
        at_sheet = abs(weld.sheet - conditions.sheet) <= SAME_SHEET
        if weld.is_clean and at_speed and at_sheet and distance <= CONFIRM_WITHIN:
            near.append((distance, weld.number, weld))
    return min(near, key=lambda each: each[:2])[2] if near else None


def is_certified(
    point: SetPoint,
    welds: Sequence[TestWeld],
    confirmed_by: TestWeld | None,
    *,
    level: float = LEVEL,
) -> bool:
    """Whether a set point may be called certified: level, count and confirming weld.

    Parameters
    ----------
    point : SetPoint
        The set point.
    welds : sequence of TestWeld
        Test welds so far.
    confirmed_by : TestWeld or None
        From :func:`confirming_weld`.
    level : float
        P(sound) that must be reached. [-]

    Returns
    -------
    bool
        Never a statement about a roof: about this setting, this sheet, this hour.
    """
    return point.p_sound >= level and len(welds) >= LEAST_WELDS and confirmed_by is not None
