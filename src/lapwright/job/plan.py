"""Before the job: the whole roof laid out, what it takes, and how long this crew needs.

Every area is planned in ``roof``; here they are added up and met with the crew.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import reduce
from operator import add

from lapwright.errors import LapwrightError, OutOfRange
from lapwright.roof.layout import Layout
from lapwright.roof.optimise import Weights, optimise
from lapwright.roof.outline import Corner, Outline, refuse_overlap
from lapwright.roof.plan import AreaPlan, plan_area
from lapwright.roof.quantities import Quantities, Rate, add_up, power_places

TESTS_A_DAY = 2  # per machine: start of shift and after lunch, as the trade's articles ask
STRIPS = 2  # per test weld, from opposite ends; the default rule
_DAY = 8 * 3600.0  # s

Times = tuple[float, float]
Progress = Callable[[str, int, int], None]


@dataclass(frozen=True)
class Crew:
    """Who welds, how fast by its own log, and how far its cords reach.

    Parameters
    ----------
    weld, hand, probe : Rate, optional
        Of the machine, by hand, with the probe; what is not logged is not guessed.
    machines : int
        Automatic welders at work together.
    day : float
        Working time of a day. [s]
    tests_a_day : int
        Test welds per machine and day.
    strips : int
        Per test weld.
    reach : float, optional
        Cord from generator to machine. [m]
    hand_end_laps : bool
        End laps are welded by hand.

    Raises
    ------
    OutOfRange
        No machine, no day, a count below zero.
    """

    weld: Rate | None = None
    hand: Rate | None = None
    probe: Rate | None = None
    machines: int = 1
    day: float = _DAY
    tests_a_day: int = TESTS_A_DAY
    strips: int = STRIPS
    reach: float | None = None
    hand_end_laps: bool = False

    def __post_init__(self) -> None:
        for name, value, above, below in (
            ("machines", self.machines, 0, 100),
            ("working_day", self.day, 0.0, 24 * 3600.1),
            ("tests_a_day", self.tests_a_day, -1, 100),
            ("strips", self.strips, -1, 100),
        ):
            if not above < value < below:
                raise OutOfRange(name, value, above=above, below=below)


@dataclass(frozen=True)
class RoofPlan:
    """All areas of a roof, added up and met with a crew.

    Parameters
    ----------
    areas : tuple of AreaPlan
        In the order of the drawing.
    sums : tuple of Quantities
        Of each area.
    crew : Crew
        Who welds.
    places : tuple of tuple of (x, y)
        For each area, where a generator may stand so that the cord reaches all of it; empty
        without a reach. [m]
    """

    areas: tuple[AreaPlan, ...]
    sums: tuple[Quantities, ...]
    crew: Crew
    places: tuple[tuple[Corner, ...], ...]

    @property
    def total(self) -> Quantities:
        """Of the whole roof."""
        return reduce(add, self.sums)

    @property
    def levels(self) -> Mapping[str, Quantities]:
        """By level, in the order of the drawing."""
        levels: dict[str, Quantities] = {}
        for plan, found in zip(self.areas, self.sums, strict=True):
            level = plan.outline.level
            levels[level] = levels.get(level, Quantities()) + found
        return levels

    @property
    def machine_length(self) -> float:
        """Feet for the automatic welder. [m]"""
        total = self.total
        return total.side_length if self.crew.hand_end_laps else total.seam_length

    @property
    def hand_length(self) -> float:
        """Feet for the hand gun, T-joint patches not counted. [m]"""
        total = self.total
        ends = total.end_length if self.crew.hand_end_laps else 0.0
        return total.hand_length + ends

    @property
    def machine_time(self) -> Times | None:
        """Least and most machine time; none without the crew's rate. [s]"""
        return None if self.crew.weld is None else self.crew.weld.seconds(self.machine_length)

    @property
    def hand_time(self) -> Times | None:
        """Least and most time by hand; none without the crew's rate. [s]"""
        return None if self.crew.hand is None else self.crew.hand.seconds(self.hand_length)

    @property
    def probe_time(self) -> Times | None:
        """Least and most time to probe every foot; none without the crew's rate. [s]"""
        length = self.machine_length + self.hand_length
        return None if self.crew.probe is None else self.crew.probe.seconds(length)

    @property
    def days(self) -> tuple[int, int] | None:
        """Fewest and most days on which machines weld."""
        if self.machine_time is None:
            return None
        least, most = (
            math.ceil(time / (self.crew.day * self.crew.machines) - 1e-9)
            for time in self.machine_time
        )
        return least, most

    @property
    def test_welds(self) -> tuple[int, int] | None:
        """Fewest and most test welds that those days ask for, without those after a change."""
        if self.days is None:
            return None
        least, most = self.days
        each = self.crew.machines * self.crew.tests_a_day
        return least * each, most * each


def plan_roof(
    outlines: Sequence[Outline],
    layouts: Sequence[Layout],
    *,
    crew: Crew,
    weights: Weights | None = None,
    progress: Progress | None = None,
) -> RoofPlan:
    """The plan of a roof.

    Parameters
    ----------
    outlines : sequence of Outline
        Its areas.
    layouts : sequence of Layout
        The rules of each.
    crew : Crew
        Who welds.
    weights : Weights, optional
        What counts; with them the layout is optimised.
    progress : callable, optional
        Told area, candidates done and of how many.

    Raises
    ------
    LapwrightError
        ``outline_empty``: no area; ``areas_overlap``, ``area_twice``.
    OutOfRange
        A size no roll or crew has.
    """
    if not outlines:
        raise LapwrightError("outline_empty")
    refuse_overlap(outlines)
    areas = []
    for outline, layout in zip(outlines, layouts, strict=True):
        if weights is None:
            areas.append(plan_area(outline, layout))
        else:
            told = _told(progress, outline.area)
            areas.append(optimise(outline, layout, weights=weights, progress=told))
    reach = crew.reach
    return RoofPlan(
        tuple(areas),
        tuple(add_up(area) for area in areas),
        crew,
        tuple(() if reach is None else power_places(area, reach) for area in areas),
    )


def _told(progress: Progress | None, area: str) -> Callable[[int, int], None]:
    def tell(done: int, of: int) -> None:
        if progress is not None:
            progress(area, done, of)

    return tell
