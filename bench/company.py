"""An invented company of many years: jobs, machines, sheets, mornings, test welds, strips.

Jobs run beside each other, two machines each, a morning's test welds a machine and day. Edges of
the window follow pairing, machine, nozzle, season and day; strips follow the edges by the heat
model. No figure was fitted to field data. Only facts of test welds are told, none of the runs
and probes that a company would have beside them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import product

import numpy as np
from filling import Line, line
from numpy.typing import NDArray

from lapwright.physics.heat import REFERENCE_KAPPA, equivalent_air

DAYS, MACHINES, WELDS, STRIPS = 28, 2, 6, 3  # of a job: days, machines; welds a day, strips each
JOB_STRIPS = DAYS * MACHINES * WELDS * STRIPS
AT_ONCE = 200  # jobs beside each other
FIRST = date(2022, 3, 1)
KINDS = tuple(
    product(("tpo", "pvc", "kee"), ("45", "60", "80"), ("white", "grey"), ("reinforced", "fleece"))
)
SPREAD, RHO, PARTIAL, MISREAD = 32.0, 0.3, 45.0, 0.025  # F, -, F, -
_PULL = np.array(["cold", "partial", "full"], dtype=object)

Values = NDArray[np.float64]


def job_id(number: int) -> str:
    """The id of a job."""
    return f"01990000-0000-7000-8000-{number:012x}"


@dataclass(frozen=True)
class Truth:
    """What the company's windows depend on. [F]"""

    pairing: Values  # (kinds, 2): bottom, width
    machine: Values
    nozzle: Values

    @classmethod
    def drawn(cls, chance: np.random.Generator) -> Truth:
        """A company."""
        return cls(
            pairing=chance.normal((700.0, 330.0), (60.0, 40.0), (len(KINDS), 2)),
            machine=chance.normal(0.0, 30.0, AT_ONCE * MACHINES),
            nozzle=np.array([0.0, 20.0]),
        )


class Company:
    """Rows of facts of whole jobs.

    Parameters
    ----------
    jobs : int
        How many.
    seed : int
        Same seed, same company, whatever the number of jobs that come after.
    """

    def __init__(self, jobs: int, seed: int) -> None:
        self.jobs, self._seed = jobs, seed
        self._truth = Truth.drawn(np.random.default_rng(seed))
        self.ends: dict[str, int] = {}
        self._made = 0

    def lines(self) -> Iterator[Line]:
        """All rows, in the order of time."""
        for block, first in enumerate(range(0, self.jobs, AT_ONCE)):
            numbers = range(first, min(first + AT_ONCE, self.jobs))
            chance = np.random.default_rng([self._seed, block])
            crews = [_Crew(self, number, chance) for number in numbers]
            start = FIRST + timedelta(days=30 * block)
            for crew in crews:
                yield from crew.begin(start)
            for place in range(DAYS):
                for crew in crews:
                    yield from crew.day(start + timedelta(days=place))

    def fresh_id(self) -> str:
        """An id nobody has."""
        self._made += 1
        return f"01991111-0000-7000-8000-{self._made:012x}"

    def at_day(
        self, machine: int, kind: int, nozzle: int, day: date, chance: np.random.Generator
    ) -> tuple[float, float]:
        """Bottom and top of one machine on one day. [F]"""
        season = 15.0 * np.cos((day.timetuple().tm_yday - 20) / 365.25 * 2 * np.pi)
        bottom, width = self._truth.pairing[kind]
        bottom += self._truth.machine[machine] + self._truth.nozzle[nozzle] + season
        bottom += chance.normal(0.0, 25.0)
        return bottom, bottom + max(60.0, width + chance.normal(0.0, 30.0))


class _Crew:
    """One job, told fact by fact."""

    def __init__(self, company: Company, number: int, chance: np.random.Generator) -> None:
        self._company, self._chance, self._job = company, chance, job_id(number)
        self._machines = [number % AT_ONCE * MACHINES + place for place in range(MACHINES)]
        self._kind = int(chance.integers(len(KINDS)))
        self._is_metric = bool(chance.random() < 0.3)
        self._ids: list[str] = []
        self._pairing = self._day = ""
        self._clock = 0

    def begin(self, day: date) -> Iterator[Line]:
        """Job, machines, sheets."""
        self._day, self._clock = day.isoformat(), 0
        yield self._fact("job", '{"invented":false,"name":"Roof of the benchmark"}')[1]
        for machine in self._machines:
            number, kept = self._fact(
                "machine", f'{{"drive":"ft_min","number":"M{machine}","type":"automatic"}}'
            )
            self._ids.append(number)
            yield kept
        membrane, mil, colour, backing = KINDS[self._kind]
        lots = []
        for _ in "ul":
            lot, kept = self._fact(
                "lot",
                f'{{"backing":"{backing}","colour":"{colour}","membrane":"{membrane}",'
                f'"number":"R{self._clock}","thickness":{_typed(mil, "mil")}}}',
            )
            lots.append(lot)
            yield kept
        self._pairing, kept = self._fact(
            "pairing", f'{{"aged":false,"lower":"{lots[1]}","upper":"{lots[0]}"}}'
        )
        yield kept

    def day(self, day: date) -> Iterator[Line]:
        """Both machines' test welds of one morning."""
        self._day, self._clock = day.isoformat(), 60
        season = np.cos((day.timetuple().tm_yday - 200) / 365.25 * 2 * np.pi)
        for place, machine in enumerate(self._machines):
            nozzle = int(self._chance.random() < 0.2)
            width = (_typed("40", "mm"), _typed("30", "mm"))[nozzle]
            setup, kept = self._fact(
                "nozzle_setup",
                f'{{"aligned":true,"machine":"{self._ids[place]}","nozzle_clean":true,'
                f'"nozzle_width":{width},"screen_clean":true}}',
            )
            yield kept
            edges = self._company.at_day(machine, self._kind, nozzle, day, self._chance)
            yield from self._welds(self._ids[place], setup, edges, 60.0 + 20.0 * season)

    def _welds(
        self, machine: str, nozzle: str, edges: tuple[float, float], ambient: float
    ) -> Iterator[Line]:
        chance = self._chance
        air = chance.integers(60, 115, WELDS) * 10.0
        speed = np.where(chance.random(WELDS) < 0.8, 10.0, 12.0)
        outside = np.repeat(np.rint(ambient + chance.normal(0.0, 8.0, 2)), WELDS // 2)
        sheet = np.rint(outside + np.repeat(chance.uniform(0.0, 40.0, 2), WELDS // 2))
        pulls, signs = _outcomes(air, speed, sheet, edges, chance)
        odd = chance.random((WELDS, 8))
        sky = ""
        for place in range(WELDS):
            if place % (WELDS // 2) == 0:
                sky, kept = self._fact(
                    "conditions",
                    f'{{"ambient":{self._heat(outside[place])},"clean":true,"dry":true,'
                    f'"humidity":{_typed("55", "percent")},"sheet":{self._heat(sheet[place])},'
                    '"substrate":"board","sun":"sun","wind":"light"}',
                )
                yield kept
            measured = self._heat(air[place], "measured") if odd[place, 0] < 0.1 else "null"
            pace = _typed("5", "dial") if odd[place, 1] < 0.01 else self._pace(speed[place])
            weld, kept = self._fact(
                "test_weld",
                f'{{"air":{self._heat(air[place], "set")},"conditions":"{sky}",'
                f'"machine":"{machine}","measured_air":{measured},"nozzle_setup":"{nozzle}",'
                f'"number":"T{place + 1}","operator":"{machine}","pairing":"{self._pairing}",'
                f'"power_setup":null,"purpose":"search","speed":{pace}}}',
            )
            yield kept
            if odd[place, 2] > 0.05:
                corner = '"holds"' if odd[place, 3] > 0.05 else "null"
                smoke = "true" if signs[place] else "false"
                yield self._fact(
                    "hot_look",
                    f'{{"brittle":false,"bubbles":false,"corner":{corner},"glaze":false,'
                    f'"scorch":false,"scrim_print":false,"smoke":{smoke},"test_weld":"{weld}",'
                    '"thinned":false}',
                )[1]
            for number, pull in enumerate(pulls[place], 1):
                strip, kept = self._strip(weld, number, pull)
                yield kept
            if odd[place, 4] < 0.03:
                yield self._strip(weld, STRIPS, "partial", ',"second_look":true')[1]
            if odd[place, 5] < 0.005:
                yield self._fact(
                    "correction",
                    f'{{"field":"pull","new":"full","of":"{strip}","old":"{pull}",'
                    '"reason":"mistyped"}',
                )[1]

    def _strip(self, weld: str, number: int, pull: str, more: str = "") -> tuple[str, Line]:
        return self._fact(
            "strip",
            f'{{"band":{_typed("38", "mm", "measured")},"evenness":"full","number":"{number}",'
            f'"of":"{weld}","pull":"{pull}"{more}}}',
        )

    def _heat(self, value: float, how: str = "measured") -> str:
        if not self._is_metric:
            return _typed(f"{value:.0f}", "f", how)
        return _typed(f"{(value - 32) / 1.8:.0f}", "c", how)

    def _pace(self, value: float) -> str:
        return _typed(f"{0.3048 * value:.1f}", "m_min", "set") if self._is_metric else _typed(
            f"{value:.0f}", "ft_min", "set"
        )  # fmt: skip

    def _fact(self, kind: str, body: str) -> tuple[str, Line]:
        """A fact a few seconds after the one before; its id and its row."""
        self._clock += 20
        clock = f"{self._clock // 3600:02d}:{self._clock // 60 % 60:02d}:{self._clock % 60:02d}"
        local = f"{self._day}T{clock}Z"
        ends, job, own = self._company.ends, self._job, self._company.fresh_id()
        ends[job] = ends.get(job, 0) + 1
        fact = (
            f'{{"at":"{local}","body":{body},"by":"","device":"bench","entered_at":"{local}",'
            f'"entered_by":"bench","id":"{own}","job":"{job}","kind":"{kind}","note":""}}'
        )
        utc = f"{local[:-1]}.000000Z"
        return own, line(fact, job=job, seq=ends[job], id=own, kind=kind, at=local, utc=utc)


def _outcomes(
    air: Values,
    speed: Values,
    sheet: Values,
    edges: tuple[float, float],
    chance: np.random.Generator,
) -> tuple[NDArray[np.object_], NDArray[np.bool_]]:
    """Pull of each strip and a sign on each weld."""
    met = equivalent_air(
        (air + 459.67) / 1.8,
        sheet=(sheet + 459.67) / 1.8,
        speed=speed * 0.00508,
        kappa=REFERENCE_KAPPA,
    )
    luck = chance.standard_normal((2, WELDS, STRIPS + 1))
    both = np.sqrt(RHO) * luck[..., :1] + np.sqrt(1 - RHO) * luck[..., 1:]
    over = (met * 1.8 - 459.67)[:, None] + SPREAD * both - np.reshape(edges, (2, 1, 1))
    grade = (over[0] > -PARTIAL).astype(int) + (over[0] > 0)
    grade = np.where(chance.random(grade.shape) < MISREAD, 1, grade)
    pulls = _PULL[grade]
    odd = chance.random(grade.shape)
    pulls[odd < 0.03] = "split"
    pulls[odd < 0.02] = "break"
    pulls[odd < 0.01] = "invalid"
    return pulls, over[1].max(axis=1) > 0


def _typed(value: str, unit: str, how: str = "set") -> str:
    return f'{{"how":"{how}","typed":"{value}","unit":"{unit}"}}'
