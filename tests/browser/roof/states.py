"""An invented roof in every state: the bundled outline planned, and two days of the cast on it.

Area A, rows along x; stations in feet. What each seam shows stands beside it.
"""

from __future__ import annotations

from pathlib import Path

from tests import cast

from lapwright.job.plan import Crew, plan_roof
from lapwright.job.planned import plan_body
from lapwright.job.rules import RuleBook
from lapwright.readings.layout import plan_from
from lapwright.readings.outline import read_outline
from lapwright.readings.rules import read_rule_book
from lapwright.record.fact import Fact

ROOF = Path(__file__).parents[3] / "src" / "lapwright" / "examples" / "roof.geojson"


def rules() -> RuleBook:
    """The default ones."""
    return read_rule_book([])


def plans() -> list[Fact]:
    """The plan of the bundled roof, one fact for each area."""
    areas = read_outline(ROOF).areas
    said = plan_from({"lap_in": 6.0, "half_rows": 1}, areas, rules())
    found = plan_roof(areas, said.layouts, crew=Crew())
    return [cast.fact("plan", at="06:05", **plan_body(area)) for area in found.areas]


def every_state() -> list[Fact]:
    """All facts, in the order of the seams."""
    morning = cast.morning()
    decision = morning[-1]
    facts = [*plans(), *morning]

    def ran(seam: str, end: str, at: str, *, start: str = "0 ft", **more: object) -> list[Fact]:
        found = cast.ran(seam, start, end, at=at, decision=decision, **more)  # type: ignore[arg-type]
        facts.extend(found)
        return found

    def probed(seam: str, end: str, at: str, *, start: str = "0 ft", **more: object) -> Fact:
        found = cast.fact("probe", at=at, seam=seam, start=start, end=end, prober=cast.LUZ,
                          by=cast.LUZ, **more)  # fmt: skip
        facts.append(found)
        return found

    ran("A-S001", "180 ft", "08:00")  # proved and probed, whole
    probed("A-S001", "180 ft", "09:00")
    ran("A-S002", "180 ft", "08:15")  # probed to 100, the rest proved; a repaired spot at 40
    probed("A-S002", "100 ft", "09:10", result="defects")
    defect = cast.fact("defect", at="09:12", number="1", seam="A-S002", station="40 ft",
                       length="3 ft")  # fmt: skip
    mended = cast.fact("repair", at="09:30", defect=defect, operator=cast.INES, machine=cast.GUN)
    closed = cast.fact("reprobe", at="10:10", repair=mended, prober=cast.LUZ, by=cast.LUZ)
    facts += [defect, mended, closed]
    ran("A-S003", "150 ft", "08:30")  # an open defect of the inspector at 60; 150 to 180 bare
    facts.append(
        cast.fact("defect", at="11:00", number="2", seam="A-S003", station="60 ft", length="2 ft",
                  type="fishmouth", found_by="inspector")
    )  # fmt: skip
    facts += cast.ran("A-S004", "0 ft", "90 ft", at="08:45")  # nobody named a set point
    facts.append(cast.fact("event", at="09:00", trigger="power_cut", machine=cast.MACHINE,
                           operator=cast.TOM))  # fmt: skip
    ran("A-S005", "180 ft", "09:05")  # welded after the power cut: a test was due
    facts += cast.welded("8", "860 f", "fff", at="09:20")  # it passes, and ends that
    ran("A-S006", "100 ft", "09:45", start="20 ft")  # a cut fails in it
    cut = cast.fact("cut", at="11:30", number="C-1", seam="A-S006", station="60 ft", why="cause",
                    length="1 ft")  # fmt: skip
    facts += [cut, cast.fact("strip", at="11:45", of=cut, number="1", pull="cold")]
    facts += cast.welded("9", "860 f", "fff", at="12:30")  # passes after the cut
    ran("A-S007", "100 ft", "13:00")
    facts.append(cast.fact("t_joint", at="13:30", number="A-T-S001-099", creased=True,
                           patched=True, result="none"))  # fmt: skip
    return facts
