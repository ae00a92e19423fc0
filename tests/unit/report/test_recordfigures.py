"""The record in the reader's words, units and language."""

from __future__ import annotations

from typing import get_args

import pytest
from tests import cast

from lapwright.job.checking import WhyJointOpen
from lapwright.job.crewday import traced
from lapwright.job.welding import Welding
from lapwright.proof.probing import WhyOpen
from lapwright.proof.trace import STATES, WhyOrphan
from lapwright.readings.rules import read_rule_book
from lapwright.record.work import DEFECTS
from lapwright.report.figures import Reader
from lapwright.report.recordfigures import Told, because, trace_figures
from lapwright.words import LANGUAGES, Language, say

RULES = read_rule_book([])
MORNING = cast.morning()
DECISION = MORNING[-1]
VOID = cast.fact("defect", at="09:00", number="V1", seam="A-S001", station="12 ft", length=None)
PROBE = cast.fact("probe", at="09:00", seam="A-S001", start="0 ft", end="50 ft", prober=cast.LUZ)
WARM = cast.fact("conditions", at="08:05", sheet="110 f measured")
RECORD = cast.record(
    MORNING,
    cast.ran("A-S001", "0 ft", "100 ft", decision=DECISION),
    cast.ran("A-S002", "0 ft", "10 ft", at="08:20", air="6 dial"),
    VOID,
    PROBE,
    WARM,
)


def test_a_stretch_tells_its_story_in_the_readers_units() -> None:
    """Who, with what, on which test welds, in which weather, late since when, what is open."""
    trace = traced(RECORD, RULES)
    figures = trace_figures(trace, RECORD, Reader("en", "us"), seam="A-S001")
    (seam,) = figures["seams"]
    first, void, _, late = seam["stretches"]
    assert (first["start_ft"], first["end_ft"], first["states"]) == (0.0, 12.0, [])
    assert (first["operator"], first["machine"]) == ("Tom", "3")
    assert (first["air"], first["speed"], first["sheet"]) == ("860 °F", "10.0 ft/min", "80 °F")
    assert [weld["number"] for weld in first["test_welds"]] == ["3", "4", "5", "7"]
    assert first["probed_by"] == "Luz"
    assert void["defects"][0]["says"] == "edge void"
    assert void["defects"][0]["why_open"] == "not_repaired"
    assert [state["code"] for state in late["states"]] == ["stale", "unprobed"]
    assert late["late"]["triggers"][0]["code"] == "sheet_moved"


def test_the_same_in_metres_and_spanish() -> None:
    """Keys carry the unit, sentences the language; codes stay."""
    trace = traced(RECORD, RULES)
    figures = trace_figures(trace, RECORD, Reader("es", "metric"))
    first = figures["seams"][0]["stretches"][0]
    assert (first["start_m"], first["end_m"]) == (0.0, 3.7)
    assert first["air"] == "460 °C"
    orphan = figures["seams"][1]["stretches"][0]
    assert orphan["air"] == "6"  # a mark on a dial, as typed
    assert orphan["why_orphan"]["says"] == "nadie indicó un ajuste para esta pasada"
    lengths = {line["code"]: line["length_m"] for line in figures["lengths"]}
    assert lengths["orphan"] == 3.0
    assert lengths["bare"] == 0.0


def test_bare_seam_has_no_run() -> None:
    """A planned seam nobody welded: one stretch, bare, without a story."""
    plan = cast.fact("plan", at="06:00", area="A", outline=[],
                     seams=[{"id": "A-S003", "spans": [[0, 5]]}])  # fmt: skip
    record = cast.record(plan)
    (seam,) = trace_figures(traced(record, RULES), record, Reader())["seams"]
    assert seam["stretches"][0]["run"] is None
    assert seam["stretches"][0]["states"][0]["code"] == "bare"


def test_a_moved_sheet_is_told_with_its_figure_and_limit() -> None:
    """30 F warmer where the rule says 20 F; four hours where the rule says four."""
    work = Welding(RECORD, RULES)
    chain = work.chains.of(DECISION)
    passed = work.last_pass(chain, at=WARM.moment)
    assert passed is not None
    standing = work.standing(chain, at=WARM.moment)
    (moved,) = (trigger for trigger in standing.due if trigger.name == "sheet_moved")
    assert because(moved, Reader()) == "sheet warmer by 30 °F (rule: 20 °F)"
    assert because(moved, Reader("es", "metric")) == say(
        "now", "sheet_warmer", {"margin": 30 / 1.8, "rule": "11 °C"}, language="es", units="metric"
    )


def test_names_are_looked_up_and_the_unknown_is_said() -> None:
    """A person by name, a machine by number, power by source; what is not there is not known."""
    told = Told(RECORD, Reader())
    names = [told.name(one.id) for one in (cast.TOM, cast.MACHINE, cast.POWER)]
    assert names == ["Tom", "3", "1"]
    assert told.name(None) == told.name("x") == "not known"
    assert told.measure(None, "air") is None


def test_a_station_is_written_as_it_is_painted() -> None:
    """Whole feet whole, others to a tenth, with the reader's comma."""
    assert Told(RECORD, Reader()).station(30.48) == "100 ft"
    assert Told(RECORD, Reader()).station(30.6) == "100.4 ft"
    assert Told(RECORD, Reader("es", "metric")).station(30.6) == "30,6 m"


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_code_of_the_trace_is_worded(language: Language) -> None:
    """States, reasons and defects have their words in each language."""
    worded = {
        "state": STATES,
        "why_orphan": get_args(WhyOrphan),
        "why_open": (*get_args(WhyOpen), *get_args(WhyJointOpen)),
        "defect": DEFECTS,
    }
    for section, codes in worded.items():
        for code in codes:
            assert say(section, code, language=language)
