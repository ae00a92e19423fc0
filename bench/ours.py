"""lapwright as a method among the others, and other designs with lapwright's estimate."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from methods import Estimate, Interval, Method, Strips
from sites import COOLEST, MACHINE_LIMIT, Values, drift_draws

from lapwright.job.morning import find_window
from lapwright.physics.heat import REFERENCE_SHEET, REFERENCE_SPEED
from lapwright.units import difference_to_si, from_si, to_si
from lapwright.window.answer import Answer, Question
from lapwright.window.belief import Belief
from lapwright.window.drift import Cases, Drift, cases
from lapwright.window.edges import INTERVAL, Conditions
from lapwright.window.nextweld import air_settings, most_telling
from lapwright.window.prior import BOTTOM, STEP, TOP, Earlier, Prior
from lapwright.window.setpoint import POLICIES, Choice, SetPoint, choose
from lapwright.window.soundness import Soundness, Tested
from lapwright.window.strips import TestWeld

REFERENCE = Conditions(speed=REFERENCE_SPEED, sheet=REFERENCE_SHEET, ambient=REFERENCE_SHEET)
MIN_AIR, MAX_AIR = to_si(COOLEST, "f"), to_si(MACHINE_LIMIT, "f")
_SETTINGS = air_settings(MIN_AIR, MAX_AIR)
_ORDINARY = cases(Drift())


def _forecast() -> Cases:
    """The cold drift that sites will meet, known in advance: 27 equal shares of it."""
    shares = (np.arange(27) + 0.5) / 27
    shift = np.quantile(drift_draws("cold", count=100_000, seed=0), shares) / 1.8
    still = np.zeros_like(shift)
    return Cases(np.full_like(shift, 1 / len(shift)), still, still, shift, 1.0)


_FORECAST = _forecast()


def reference_weld(number: int, air: float, strips: Strips) -> TestWeld:
    """A test weld of the core, at the reference condition."""
    return TestWeld(
        str(number), to_si(air, "f"), REFERENCE.speed, REFERENCE.ambient, REFERENCE.sheet, strips
    )


def earlier_day(bottom: float, gap: float) -> Earlier:
    """An earlier day's edges, in F, known exactly as they were then."""
    return Earlier(to_si(bottom, "f"), 0.0, difference_to_si(gap, "f"), 0.0).for_today()


class Model:
    """Belief of lapwright after the welds so far, and what each policy would set.

    Policies besides lapwright's own: "now", the most probably sound setting with no drift
    allowed for; "forecast", the steady one when the cold drift is known in advance.
    """

    def __init__(self, earlier: Earlier | None = None) -> None:
        self.belief = Belief.before(Prior(earlier=earlier))
        self.welds: tuple[TestWeld, ...] = ()

    def observe(self, air: float, strips: Strips) -> None:
        weld = reference_weld(len(self.welds) + 1, air, strips)
        self.belief = self.belief.observe(weld)
        self.welds += (weld,)

    def choice(self, speed_ratio: float = 1.0) -> Choice:
        """What lapwright chooses a set point from."""
        here = replace(REFERENCE, speed=REFERENCE_SPEED * speed_ratio)
        soundness = Soundness(self.belief, Tested.of(self.welds))
        speeds = np.full(len(_SETTINGS), here.speed)
        return Choice(self.belief, soundness, here, _ORDINARY, _SETTINGS, speeds, MAX_AIR)

    def estimate(self) -> Estimate:
        choice = self.choice()
        chosen = {str(policy): _air(choose(choice, policy)) for policy in POLICIES}
        chosen["forecast"] = _air(choose(replace(choice, cases=_FORECAST), "steady"))
        likeliest = np.argmax(choice.now(choice.air, choice.speed))
        chosen["now"] = from_si(float(choice.air[likeliest]), "f")
        joint = self.belief.joint
        return Estimate(
            chosen,
            _interval(BOTTOM, joint.sum(axis=(0, 2))),
            _interval(TOP, joint.sum(axis=(0, 1))),
        )


def _air(point: SetPoint | None) -> float:
    return np.nan if point is None else from_si(point.air, "f")


def _interval(lattice: Values, mass: Values) -> Interval:
    low, mid, high = np.interp(INTERVAL, np.cumsum(mass), lattice + STEP / 2)
    return from_si(float(low), "f"), from_si(float(mid), "f"), from_si(float(high), "f")


class Lapwright(Model):
    """Next weld by what it teaches, estimate by the model."""

    def suggest(self) -> float:
        speeds = np.full(len(_SETTINGS), REFERENCE_SPEED)
        weld = most_telling(self.belief, REFERENCE, air=_SETTINGS, speed=speeds)
        return from_si(weld.air, "f")


class Followed(Model):
    """The next weld as ``lapwright next`` words it to a crew, confirming welds included.

    Where it says that no further weld is needed, this run welds at the set point again.
    """

    def suggest(self) -> float:
        return from_si(ask(self.welds).next.air, "f")


class Faster(Lapwright):
    """Set points for 1.4 times the speed, from welds at the reference speed only."""

    def estimate(self) -> Estimate:
        moved, kept = self.choice(speed_ratio=1.4), self.choice()
        return Estimate(
            {"moved": _air(choose(moved, "steady")), "kept": _air(choose(kept, "steady"))}
        )


class WithModel(Model):
    """Another method chooses the settings; lapwright judges the strips."""

    def __init__(self, design: Method) -> None:
        super().__init__()
        self.design = design

    def suggest(self) -> float:
        return self.design.suggest()

    def observe(self, air: float, strips: Strips) -> None:
        self.design.observe(air, strips)
        super().observe(air, strips)


def ask(welds: tuple[TestWeld, ...]) -> Answer:
    """What lapwright answers a crew at the reference condition."""
    return find_window(
        Question(
            welds,
            speed=REFERENCE.speed,
            sheet=REFERENCE.sheet,
            ambient=REFERENCE.ambient,
            min_air=MIN_AIR,
            max_air=MAX_AIR,
        )
    )
