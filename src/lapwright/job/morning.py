"""Conditions in, test welds out, window found, set point decided."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from lapwright import __version__
from lapwright.cautions import Caution
from lapwright.errors import LapwrightError
from lapwright.physics.heat import (
    REFUSE_FOURIER,
    SLOW_FOURIER,
    air_at,
    equivalent_air,
    fourier,
)
from lapwright.physics.startspeed import common_speed_rule
from lapwright.window.answer import MODEL, Answer, Question, Verdict
from lapwright.window.belief import Belief
from lapwright.window.counting import counted
from lapwright.window.doubts import doubts, odd_welds, unrepeated
from lapwright.window.drift import cases
from lapwright.window.edges import Conditions, bottom_edge, top_edge
from lapwright.window.nextweld import (
    LITTLE_TO_LEARN,
    SPEED_STEP,
    Suggestion,
    air_settings,
    ladder,
    most_telling,
    speed_settings,
)
from lapwright.window.picture import Picture, picture
from lapwright.window.prior import Earlier, Prior, Values
from lapwright.window.setpoint import (
    POLICIES,
    Choice,
    SetPoint,
    choose,
    confirming_weld,
    fastest,
    is_certified,
    sensitivities,
)
from lapwright.window.soundness import Soundness, Tested
from lapwright.window.strips import TestWeld, in_order
from lapwright.window.verdict import Standing, verdict

_STOPS: tuple[Verdict, ...] = ("certified", "no_window", "saturated")
_LADDER_START = 588.7056  # K; 600 F, common practice, no source
SAME_SETTING = 5 / 1.8  # K; a rung this near counts as welded; our choice


class Morning:
    """One question worked out: the belief, the map and the choice behind an answer.

    Parameters
    ----------
    question : Question
        All that the answer depends on.

    Raises
    ------
    LapwrightError
        ``conditions_missing``: no test weld yet and no ambient or sheet temperature.
    """

    def __init__(self, question: Question) -> None:
        self.question = question
        self.welds = tuple(_as_reached(weld, question.max_air) for weld in in_order(question.welds))
        self.conditions = _conditions(question, self.welds)
        prior = Prior(question.membrane, question.earlier)
        self.belief = Belief.before(prior).observe_all(self.welds)
        self.soundness = Soundness(self.belief, Tested.of(self.welds))
        air, speed = self._candidates()
        self.choice = Choice(
            self.belief,
            self.soundness,
            self.conditions,
            cases(question.drift),
            air,
            speed,
            question.max_air,
            question.level,
        )

    def _candidates(self) -> tuple[Values, Values]:
        """Settings to choose from, from the coolest lap to the hottest."""
        if self.question.vary == "speed" and self.welds:
            speed = speed_settings()[::-1]
            return np.full(len(speed), self.welds[-1].true_air), speed
        air = air_settings(self.question.min_air, self.question.max_air)
        return air, np.full(len(air), self.conditions.speed)

    @property
    def is_near(self) -> bool:
        """Whether the asked conditions are within reach of the tested ones."""
        tested, here = self.soundness.tested, self.conditions
        if tested is None:
            return True
        moved = any(np.any(part) for part in tested.outside(speed=here.speed, sheet=here.sheet))
        slow = float(fourier(here.speed, thickness=self.question.thickness)) > REFUSE_FOURIER
        return bool(tested.reaches(speed=here.speed, sheet=here.sheet)) and not (moved and slow)

    def answer(self) -> Answer:
        """Window, set point, next weld and doubts, frozen."""
        question, here = self.question, self.conditions
        policies = {policy: choose(self.choice, policy) for policy in POLICIES}
        point = policies[question.policy] if self.is_near else None
        confirmed = None if point is None else confirming_weld(self.belief, here, point, self.welds)
        certified = point is not None and is_certified(
            point, self.welds, confirmed, level=question.level
        )
        p_window = self.soundness.p_window(question.max_air, speed=here.speed, sheet=here.sheet)
        p_beyond = self.soundness.p_bottom_beyond(
            question.max_air, speed=here.speed, sheet=here.sheet
        )
        odd = odd_welds(self.belief.prior, self.welds)
        repeat = unrepeated(self.welds, odd)
        found = verdict(
            Standing(
                welds=self.welds,
                near=self.is_near,
                p_window=p_window,
                p_beyond=p_beyond,
                set_point=point,
                is_odd=repeat is not None,
                certified=certified,
                level=question.level,
            )
        )
        bottom, top = self.belief.mean_edges
        bottom_sd, width_sd = self.belief.sd_edges
        return Answer(
            question=question,
            version=__version__,
            model=MODEL,
            conditions=here,
            verdict=found,
            certified=found == "certified",
            bottom=bottom_edge(self.belief, here, self.welds),
            top=top_edge(self.belief, here, self.welds),
            p_window=p_window,
            set_point=point,
            confirmed_by=None if confirmed is None else confirmed.number,
            counted=None if point is None else counted(self.belief, here, point, self.welds),
            policies=policies,
            fastest=fastest(self.choice) if self.is_near else None,
            sensitivities=() if point is None else sensitivities(self.choice, point),
            next=self.suggest(found, repeat),
            earlier=Earlier(bottom, bottom_sd, top - bottom, width_sd),
            cautions=self._cautions(found, odd),
        )

    @property
    def rungs(self) -> Values:
        """Rungs of the common ladder within the machine's limits. [K]"""
        return ladder(max(self.question.min_air, _LADDER_START), self.question.max_air)

    def picture(self, *, points: int, speeds: int = 1) -> Picture:
        """What a drawing needs: ``points`` air temperatures, ``speeds`` rows of the map."""
        low, high = self.question.min_air, self.question.max_air
        if low < _LADDER_START < high:
            low = _LADDER_START  # nothing bonds below: leave the room to the window
        airs = (low, high, *(weld.air for weld in self.welds))
        return picture(
            self.belief,
            self.soundness,
            self.conditions,
            self.welds,
            air=np.linspace(min(airs), max(airs), points),
            speeds=speeds,
        )

    def suggest(self, found: Verdict, repeat: TestWeld | None = None) -> Suggestion:
        """The next test weld, or why none is needed."""
        point = choose(self.choice, self.question.policy) or choose(self.choice, "steady")
        assert point is not None  # only "low" may find no setting
        if found in _STOPS:
            return Suggestion(point.air, point.speed, found, done=True)
        if self.question.plan == "ladder" and len(self.rungs):
            return self._next_rung(point, self.welds if found != "test_again" else ())
        if found == "repeat" and repeat is not None:
            return Suggestion(repeat.air, repeat.speed, "repeat")
        if found == "test_again":
            return Suggestion(point.air, point.speed, "again")
        if found == "confirm" or (found == "top_unknown" and point.p_sound >= self.question.level):
            return Suggestion(point.air, point.speed, "confirm")
        air, speed = self.choice.air, self.choice.speed
        if not self.welds:  # start low: what lies below the expected bottom, if anything
            low = air <= max(self._expected_bottom, float(air[0]))
            air, speed = air[low], speed[low]
        best = most_telling(
            self.belief, self.conditions, air=air, speed=speed, strips=self.question.strips
        )
        if not self.welds:
            return replace(best, reason="first")
        if best.information is not None and best.information < LITTLE_TO_LEARN:
            return Suggestion(point.air, point.speed, "enough", done=True)
        lower = found == "no_bottom" and self._is_lower(best)
        return replace(best, reason="lower") if lower else best

    def _is_lower(self, setting: Suggestion) -> bool:
        """Whether a setting heats the lap less than every test weld so far."""
        kappa = self.belief.mean_kappa
        coolest = min(
            float(equivalent_air(w.true_air, sheet=w.sheet, speed=w.speed, kappa=kappa))
            for w in self.welds
        )
        sheet = self.conditions.sheet
        heat = equivalent_air(setting.air, sheet=sheet, speed=setting.speed, kappa=kappa)
        return float(heat) < coolest

    @property
    def _expected_bottom(self) -> float:
        """Expected bottom as air temperature at the conditions. [K]"""
        here, (bottom, _) = self.conditions, self.belief.mean_edges
        return float(
            air_at(bottom, sheet=here.sheet, speed=here.speed, kappa=self.belief.mean_kappa)
        )

    def _next_rung(self, point: SetPoint, welds: Sequence[TestWeld]) -> Suggestion:
        here = self.conditions.speed
        done = [weld.air for weld in welds if abs(weld.speed - here) < SPEED_STEP / 2]
        for rung in self.rungs:
            if all(abs(rung - welded) > SAME_SETTING for welded in done):
                return Suggestion(float(rung), here, "rung")
        return Suggestion(point.air, point.speed, "ladder_done", done=True)

    def _cautions(self, found: Verdict, odd: Sequence[str]) -> tuple[Caution, ...]:
        question, here = self.question, self.conditions
        cautions = list(doubts(self.belief, self.welds, odd, max_air=question.max_air))
        cold, partial, full = (sum(w.bond_counts[i] for w in self.welds) for i in range(3))
        if full and not cold + partial:
            cautions.append(Caution("bottom_open"))
        none, signs = (sum(w.heat_counts[i] for w in self.welds) for i in range(2))
        if none and not signs:
            cautions.append(Caution("top_open"))
        if question.speed is None and not self.welds:
            cautions.append(Caution("speed_from_rule"))
        if float(fourier(here.speed, thickness=question.thickness)) > SLOW_FOURIER:
            cautions.append(Caution("slow_for_thickness", {"speed": here.speed}))
        tested = self.soundness.tested
        if tested is not None and found != "test_again":
            log_speed, warmer = tested.outside(speed=here.speed, sheet=here.sheet)
            if log_speed or warmer:
                cautions.append(Caution("moved_from_tests"))
        if question.membrane in ("pvc", "kee"):
            cautions.append(Caution("fumes"))
        cautions.append(Caution("hot_strips"))
        return tuple(cautions)


def _as_reached(weld: TestWeld, max_air: float) -> TestWeld:
    """A weld set hotter than the machine reaches counts at the temperature reached."""
    if weld.measured_air is None and weld.air > max_air:
        return replace(weld, measured_air=max_air)
    return weld


def _conditions(question: Question, welds: tuple[TestWeld, ...]) -> Conditions:
    """What is stated, else what the latest weld met, else the other of air and sheet."""
    latest = welds[-1:]
    ambient = _first(question.ambient, *(weld.ambient for weld in latest), question.sheet)
    if ambient is None:
        raise LapwrightError("conditions_missing")
    sheet = _first(question.sheet, *(weld.sheet for weld in latest), ambient)
    speed = _first(question.speed, *(weld.speed for weld in latest), _start_speed(ambient))
    assert sheet is not None  # both fall back on a value that is there
    assert speed is not None
    return Conditions(speed=speed, sheet=sheet, ambient=ambient)


def _first(*values: float | None) -> float | None:
    return next((value for value in values if value is not None), None)


def _start_speed(ambient: float) -> float:
    """The common rule as a start only, in whole steps of the machine."""
    return SPEED_STEP * max(1, round(common_speed_rule(ambient) / SPEED_STEP))


def find_window(question: Question) -> Answer:
    """Window, set point and next test weld from the strips so far.

    Parameters
    ----------
    question : Question
        All that the answer depends on.

    Returns
    -------
    Answer
        Replaying ``answer.question`` gives the same answer.

    Raises
    ------
    LapwrightError
        ``conditions_missing``: no test weld yet and no ambient or sheet temperature.

    Examples
    --------
    >>> first = find_window(Question(ambient=300.0))
    >>> first.verdict, first.next.reason
    ('no_test_weld', 'first')
    """
    return Morning(question).answer()
