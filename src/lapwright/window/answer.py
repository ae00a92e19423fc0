"""The question a morning asks and the answer it gets, frozen.

Both are plain data. An answer holds its question, so that the decision can be replayed
years later to the same numbers: the model draws no random numbers, hence no seed.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal, get_args

from lapwright.cautions import Caution
from lapwright.errors import LapwrightError, OutOfRange
from lapwright.window.counting import Counted
from lapwright.window.drift import Drift
from lapwright.window.edges import Conditions, Edge
from lapwright.window.nextweld import STRIPS, Suggestion, Vary
from lapwright.window.prior import Earlier
from lapwright.window.setpoint import LEVEL, POLICIES, Policy, Sensitivity, SetPoint
from lapwright.window.strips import TestWeld

MODEL = "two-edge-1"  # named anew whenever the same question may get other numbers

Plan = Literal["learn", "ladder"]
Verdict = Literal[
    "certified",
    "repeat",
    "confirm",
    "not_known_yet",
    "top_unknown",
    "no_bottom",
    "none_passed",
    "no_window",
    "saturated",
    "test_again",
    "no_test_weld",
]
NO_SETTING: tuple[Verdict, ...] = ("no_window", "saturated", "no_test_weld")  # none to weld with

MIN_AIR = 533.15  # K; 500 F, about the least a dial offers; our choice
MAX_AIR = 893.15  # K; 620 C (1148 F), the usual end of the dial; common practice, no source


@dataclass(frozen=True)
class Question:
    """All that an answer depends on.

    Parameters
    ----------
    welds : tuple of TestWeld
        Test welds so far, in any order.
    membrane : str
        Family: ``"tpo"``, ``"pvc"``, ``"kee"``.
    thickness : float
        Of the sheet; 60 mil unless said. [m]
    speed, sheet, ambient : float, optional
        Stated conditions; where missing, those of the latest weld. [m/s, K, K]
    min_air, max_air : float
        Coolest and hottest air the machine reaches as it stands. [K]
    earlier : Earlier, optional
        What an earlier day believed.
    drift : Drift
        What is stated about the hours ahead.
    policy : {"steady", "middle", "low"}
        How the set point is chosen.
    level : float
        P(sound) that a set point must reach, between 0.5 and 1. [-]
    vary : {"air", "speed"}
        The one setting that test welds change.
    plan : {"learn", "ladder"}
        Next weld by what it teaches, or the next rung of the common ladder.
    strips : int
        Strips per test weld, 1 to 10.

    Raises
    ------
    OutOfRange, LapwrightError
        A limit, level or choice is not possible.
    """

    welds: tuple[TestWeld, ...] = ()
    membrane: str = "tpo"
    thickness: float = 0.001524
    speed: float | None = None
    sheet: float | None = None
    ambient: float | None = None
    min_air: float = MIN_AIR
    max_air: float = MAX_AIR
    earlier: Earlier | None = None
    drift: Drift = field(default_factory=Drift)
    policy: Policy = "steady"
    level: float = LEVEL
    vary: Vary = "air"
    plan: Plan = "learn"
    strips: int = STRIPS

    def __post_init__(self) -> None:
        if not 0.5 < self.level < 1.0:
            raise OutOfRange("level", self.level, above=0.5, below=1.0)
        if self.strips not in range(1, 11):
            raise OutOfRange("strips", self.strips, above=0, below=11)
        if not 0.0002 < self.thickness < 0.01:
            raise OutOfRange("thickness", self.thickness, above=0.0002, below=0.01)
        if self.max_air <= self.min_air:
            raise OutOfRange("max_air", self.max_air, above=self.min_air)
        for name, value, low, high in (
            ("min_air", self.min_air, 300.0, 1000.0),
            ("max_air", self.max_air, 400.0, 1000.0),
            ("speed", self.speed, 0.0, 0.34),
            ("sheet", self.sheet, 213.0, 394.0),
            ("ambient", self.ambient, 213.0, 334.0),
        ):
            if value is not None and not low < value < high:
                raise OutOfRange(name, value, above=low, below=high)
        for choice, known in (
            (self.policy, POLICIES),
            (self.vary, get_args(Vary)),
            (self.plan, get_args(Plan)),
        ):
            if choice not in known:
                raise LapwrightError("unknown_choice", value=choice, known=", ".join(known))


@dataclass(frozen=True)
class Answer:
    """What the strips say, and how far they say it.

    Parameters
    ----------
    question : Question
        What was asked; replaying it gives the same answer.
    version, model : str
        Release of lapwright and name of the statistical model.
    conditions : Conditions
        What edges and set point refer to.
    verdict : str
        One code; see ``docs/reference/verdicts``.
    certified : bool
        The set point reaches the level and a clean weld confirms it.
    bottom, top : Edge
        Air temperature with 90 % interval. [K]
    p_window : float
        P(some reachable air temperature is sound). [-]
    set_point : SetPoint or None
        By the asked policy; None where none may be given.
    confirmed_by : str or None
        Number of the clean weld near the set point.
    counted : Counted or None
        What the strips near the set point prove by counting alone.
    policies : dict of str to SetPoint or None
        What each policy would pick.
    fastest : SetPoint or None
        The fastest speed that holds the level.
    sensitivities : tuple of Sensitivity
        What would change the answer most, worst first.
    next : Suggestion
        The next test weld, or why none is needed.
    earlier : Earlier
        What a later morning may take over from this one.
    cautions : tuple of Caution
        Most urgent first.
    """

    question: Question
    version: str
    model: str
    conditions: Conditions
    verdict: Verdict
    certified: bool
    bottom: Edge
    top: Edge
    p_window: float
    set_point: SetPoint | None
    confirmed_by: str | None
    counted: Counted | None
    policies: dict[Policy, SetPoint | None]
    fastest: SetPoint | None
    sensitivities: tuple[Sensitivity, ...]
    next: Suggestion
    earlier: Earlier
    cautions: tuple[Caution, ...]
    seed: int | None = None
