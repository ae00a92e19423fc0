"""What the invented crew of the example week does, one act at a time.

Strips come from an invented truth (bottom, top, chance with a fixed seed); what the crew decides
comes from lapwright itself, so that each decision replays. ``tests/week.py`` tells the days.
"""

from __future__ import annotations

import json
import random
from collections.abc import Sequence
from dataclasses import asdict, replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from tests.cast import GUN, INES, JOB_FACT, LUZ, MACHINE, ROSA, SAM, TOM, fact, later

from lapwright.job.crewday import crew_day
from lapwright.job.morning import find_window
from lapwright.job.planned import plan_body
from lapwright.job.testing import ask
from lapwright.physics.heat import REFERENCE_KAPPA, equivalent_air
from lapwright.proof.chains import Chains
from lapwright.readings.layout import plan_from
from lapwright.readings.outline import read_outline
from lapwright.readings.rules import read_rule_book
from lapwright.record.fact import Fact, si
from lapwright.record.ledger import ListLedger
from lapwright.record.replay import Record
from lapwright.roof.plan import plan_area
from lapwright.units import from_si, to_si
from lapwright.window.prior import Earlier

ROOF = Path(__file__).resolve().parents[1] / "src" / "lapwright" / "examples" / "roof.geojson"
DAYS = [f"2026-05-{day:02d}" for day in range(4, 9)]
RULES = read_rule_book([])
BOTTOM, TOP, SPREAD = 690.0, 1010.0, 14.0  # F at sheet 85 F and 10 ft/min: the invented truth
SIGNS = ("smoke", "scorch", "glaze", "bubbles", "thinned", "scrim_print", "brittle")
SHEETS = {"06:00": 62, "08:30": 74, "10:30": 96, "13:00": 112, "15:00": 104}  # F by the clock
PASS_MINUTES = 12  # from weld to pulled strips
LONGEST = 90  # ft; what the machine runs before the track is moved


class Week:
    """The facts so far, kept as a server would keep them."""

    def __init__(self) -> None:
        self.ledger = ListLedger()
        self.facts: list[Fact] = []
        self.rng = random.Random(5)
        self.day = DAYS[0]
        self.clock = ""
        self.earlier: Earlier | None = None
        self.welds = self.voids = 0

    def at(self, clock: str) -> None:
        """Set the clock of the day."""
        self.clock = later(clock, 0, day=self.day)

    def wait(self, minutes: float) -> None:
        """Let time pass."""
        self.clock = later(self.clock, minutes)

    def add(self, kind: str, *, minutes: float = 0.0, **body: Any) -> Fact:
        """A fact so many minutes from now; the clock stays."""
        made = fact(kind, at=later(self.clock, minutes), **body)
        return self.keep(made)

    def keep(self, made: Fact) -> Fact:
        """A fact into record and chain, received when it was entered."""
        (receipt,) = self.ledger.append(made.job, [made], received_at=made.entered_at)
        assert receipt.status == "kept", receipt
        self.facts.append(made)
        return made

    @property
    def record(self) -> Record:
        """All facts so far."""
        return Record(self.facts)

    @property
    def moment(self) -> datetime:
        """Now."""
        return datetime.fromisoformat(self.clock)


def begin(week: Week) -> dict[str, Fact]:
    """The job: plan, people, machines, sheets, power."""
    week.keep(fact("job", at="06:00", name="Invented roof: a school annex", place="nowhere",
                   attachment="fastened", invented=True, id=JOB_FACT.id))  # fmt: skip
    drawing = read_outline(ROOF)
    stated = plan_from({"attachment": "fastened"}, drawing.areas, RULES)
    for area, layout in zip(drawing.areas, stated.layouts, strict=True):
        week.keep(fact("plan", at="06:01", by=ROSA, **plan_body(plan_area(area, layout))))
    for person in (ROSA, TOM, INES, LUZ, SAM):
        week.keep(person)
    for machine in (MACHINE, GUN):
        week.keep(machine)
    week.at("06:00")
    lot = week.add("lot", membrane="tpo", thickness="60 mil", colour="white",
                   backing="reinforced", number="R-118", stored="covered")  # fmt: skip
    pairing = week.add("pairing", upper=lot, lower=lot, aged=False)
    return {"lot": lot, "pairing": pairing}


def read_sky(week: Week, sheet: float, **more: Any) -> Fact:
    """Conditions by the invented sun."""
    body = {
        "ambient": f"{58 + (sheet - 62) * 0.45:.0f} f measured", "sheet": f"{sheet:.0f} f measured",
        "humidity": "48 percent measured", "wind": "light", "sun": "sun", "substrate": "board",
        "dry": True, "clean": True,
    }  # fmt: skip
    return week.add("conditions", by=ROSA, **(body | more))


def set_up(week: Week, *, source: str = "1", under: str = "226") -> tuple[Fact, Fact]:
    """Nozzle and power as checked."""
    nozzle = week.add(
        "nozzle_setup", machine=MACHINE, nozzle_width="1.5 in", nozzle_clean=True, aligned=True,
        screen_clean=True, roller_clean=True, air_flow="90 percent", by=TOM,
    )  # fmt: skip
    power = week.add(
        "power_setup", source=source, dedicated=source == "1", gauge="10 AWG",
        cord_length="100 ft", rated_power="10 kw", volts_open="231 v measured",
        volts=f"{under} v measured", by=ROSA,
    )  # fmt: skip
    return nozzle, power


def pulled(week: Week, air: float, sheet: float) -> tuple[list[str], bool]:
    """Grades of three strips and whether heat shows, by the invented truth. [F]"""
    kelvin = equivalent_air(
        to_si(air, "f"), sheet=to_si(sheet, "f"), speed=to_si(10, "ft_min"),
        kappa=REFERENCE_KAPPA,
    )  # fmt: skip
    heat = from_si(float(kelvin), "f")
    grades = []
    for _ in range(3):
        over = (heat - BOTTOM + week.rng.gauss(0, SPREAD)) / SPREAD
        grades.append("cold" if over < -1 else "partial" if over < 0.5 else "full")
    return grades, heat + week.rng.gauss(0, SPREAD) > TOP


def weld_test(
    week: Week, chain: dict[str, Any], sky: Fact, nozzle: Fact | None, air: float, purpose: str,
    *, typed: dict[str, Any] | None = None,
) -> Fact:  # fmt: skip
    """One test weld, looked at hot, pulled cold; the clock moves on."""
    week.welds += 1
    body = {"air": f"{air:.0f} f", "speed": "10 ft_min"} | (typed or {})
    weld = week.add(
        "test_weld", number=f"T{week.welds}", conditions=sky, nozzle_setup=nozzle,
        load="66 lbf", length="3 ft", place="scrap", purpose=purpose, by=chain["operator"],
        **chain, **body,
    )  # fmt: skip
    sheet = from_si(si(sky["sheet"]) or 300.0, "f")
    band = (2.1, 2.4) if chain["machine"] == GUN else (1.7, 2.1)
    grades, is_hot = pulled(week, air, sheet)
    signs = dict.fromkeys(SIGNS, False) | ({"glaze": True} if is_hot else {})
    week.add("hot_look", minutes=1, test_weld=weld, corner="holds", by=ROSA, **signs)
    for number, grade in enumerate(grades, start=1):
        week.add("strip", minutes=PASS_MINUTES - 1 + number / 10, of=weld, number=str(number),
                 pull=grade, width="1 in", cooled="10 min", by=SAM, evenness="full",
                 band=f"{week.rng.uniform(*band):.1f} in")  # fmt: skip
    week.wait(PASS_MINUTES)
    return weld


def decide(week: Week, chain: dict[str, Any], behind: Sequence[Fact]) -> Fact:
    """The set point by lapwright, accepted by the foreman."""
    record = week.record
    asked = ask(record, Chains(record).of(behind[-1]), at=week.moment, rules=RULES)
    question = replace(asked.question, earlier=week.earlier)
    answer = find_window(question)
    assert answer.set_point is not None
    return week.add(
        "decision", minutes=1, test_welds=list(behind), question=_plain(question),
        answer=_plain(answer), worked_out="server", model=answer.model, accepted=True, by=ROSA,
        air=f"{from_si(answer.set_point.air, 'f'):.0f} f", speed="10 ft_min", load="66 lbf",
        **chain,
    )  # fmt: skip


def morning(week: Week, chain: dict[str, Any], sky: Fact, nozzle: Fact) -> tuple[list[Fact], Fact]:
    """Test welds where lapwright asks for them, until it has enough."""
    welds: list[Fact] = []
    while len(welds) < 8:
        record = week.record
        run = fact("run", at=week.clock, seam="-", station="0 ft", **chain)
        asked = ask(record, Chains(record).of(run), at=week.moment, rules=RULES)
        answer = find_window(replace(asked.question, earlier=week.earlier))
        if answer.next.done:
            break
        purpose = "confirm" if answer.next.reason in ("confirm", "again") else "search"
        air = round(from_si(answer.next.air, "f") / 5) * 5
        welds.append(weld_test(week, chain, sky, nozzle, air, purpose))
    return welds, decide(week, chain, welds)


def run(
    week: Week, seam: str, start: float, end: float, decision: Fact | None, chain: dict[str, Any],
    *, reason: str = "track",
) -> Fact:  # fmt: skip
    """A run at the pace of the set point, then a few minutes for the next track."""
    begun = week.add("run", seam=seam, station=f"{start:.0f} ft", decision=decision, lap="6 in",
                     by=chain["operator"], **chain)  # fmt: skip
    week.wait(abs(end - start) / 10)
    week.add("run_end", run=begun, station=f"{end:.0f} ft", reason=reason, nozzle_lifted=True,
             speed="10 ft_min", by=chain["operator"])  # fmt: skip
    week.wait(4)
    return begun


def probe(week: Week, seam: str, start: float, end: float, voids: Sequence[float] = ()) -> None:
    """Luz walks a seam; each void is marked, patched by Ines, probed again by Luz."""
    found = "defects" if voids else "none"
    week.add("probe", seam=seam, start=f"{start:.0f} ft", end=f"{end:.0f} ft", prober=LUZ,
             result=found, blunt=True, by=LUZ)  # fmt: skip
    for station in voids:
        mend(week, void(week, seam, station))


def void(week: Week, seam: str, station: float, **more: Any) -> Fact:
    """A void with its number on the sheet."""
    week.voids += 1
    body = {"type": "edge_void", "found_by": "probe", "length": "0.5 ft", "by": LUZ} | more
    return week.add("defect", minutes=1, number=f"D{week.voids}", seam=seam,
                    station=f"{station:g} ft", **body)  # fmt: skip


def mend(week: Week, defect: Fact, *, prober: Fact = LUZ, **more: Any) -> Fact:
    """A repair by Ines and what the re-probe found."""
    body = {"method": "patch", "size": "6 in"} | more
    repair = week.add("repair", minutes=15, defect=defect, machine=GUN, operator=INES, by=INES,
                      test_weld=None, **body)  # fmt: skip
    return week.add("reprobe", minutes=45, repair=repair, prober=prober, result="closed",
                    by=prober)  # fmt: skip


def cut(week: Week, number: str, seam: str, station: float, pull: str) -> Fact:
    """A cut with one strip."""
    taken = week.add("cut", number=number, seam=seam, station=f"{station:g} ft", length="1 ft",
                     why="trace", by=SAM)  # fmt: skip
    week.add("strip", minutes=15, of=taken, number="1", pull=pull, width="1 in", band="1.8 in",
             evenness="full", by=SAM)  # fmt: skip
    week.wait(2)
    return taken


def sign(week: Week) -> None:
    """The foreman signs the day with what is open, and the chain as it stands."""
    day = crew_day(week.record, at=week.moment + timedelta(hours=3), rules=RULES, day=week.day)
    is_clear = not (day.open_defects or day.length("orphan") or day.length("unprobed"))
    head = week.ledger.head(JOB_FACT.job)
    week.add("sign_off", minutes=180, scope="day", open=day.counts, head=head.hash, by=ROSA,
             statement="accepted" if is_clear else "accepted_with_open")  # fmt: skip


def _plain(kept: Any) -> Any:
    """A question or answer as JSON keeps it."""
    return json.loads(json.dumps(asdict(kept)))
