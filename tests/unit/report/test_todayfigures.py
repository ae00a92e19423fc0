"""Today's figures say what the day says, for each reader."""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import datetime
from typing import Any

from tests import cast

from lapwright.job.crewday import crew_day
from lapwright.readings.rules import read_rule_book
from lapwright.record.fact import Fact
from lapwright.report.figures import Reader
from lapwright.report.todayfigures import today_figures

RULES = read_rule_book([])
MORNING = cast.morning()
RUN = cast.ran("A-S001", "0 ft", "100 ft", at="08:00", decision=MORNING[-1])


def today(
    *facts: Fact | Sequence[Fact], clock: str = "08:20", reader: Reader | None = None
) -> dict[str, Any]:
    """Figures of the cast's day, through JSON and back as the page gets them."""
    record = cast.record(MORNING, *facts)
    at = datetime.fromisoformat(cast.time(clock))
    day = crew_day(record, at=at, rules=RULES)
    figures: dict[str, Any] = json.loads(json.dumps(today_figures(day, record, reader or Reader())))
    return figures


def test_a_quiet_morning_has_no_banner() -> None:
    """Feet since the proof, no reason to test, all feet still warm."""
    figures = today(RUN)
    (chain,) = figures["chains"]
    assert chain["test_again"] is None
    assert (chain["machine"], chain["operator"]) == ("3", "Tom")
    assert (chain["since_ft"], chain["minutes_since"]) == (100.0, 51)
    assert chain["last_pass"]["number"] == "7"
    assert (figures["welded_ft"], figures["unprobed_ft"]) == (100.0, 100.0)
    assert figures["to_probe"]["walks"] == []
    assert figures["to_probe"]["warm"][0]["end_ft"] == 100.0


def test_a_due_test_is_one_line_with_reason_and_clause() -> None:
    """The banner names the reason with its figure, and the clause behind it."""
    warm = cast.fact("conditions", at="08:05", sheet="110 f measured")
    (chain,) = today(RUN, warm)["chains"]
    banner = chain["test_again"]
    assert banner["banner"] == "Test again: sheet warmer by 30 °F (rule: 20 °F)"
    assert (banner["code"], banner["layer"]) == ("sheet_moved", "default")
    assert banner["clause"]
    spanish = today(RUN, warm, reader=Reader("es", "metric"))["chains"][0]
    assert spanish["test_again"]["banner"].startswith("Pruebe de nuevo: ")
    assert spanish["since_m"] == 30.5


def test_questions_set_aside_and_out_of_service_are_told_apart() -> None:
    """What is not known is asked, what was overruled stays visible, who is out is named."""
    unread = cast.fact("conditions", at="08:05", wind=None)
    (chain,) = today(RUN, unread)["chains"]
    assert [ask["code"] for ask in chain["asks"]] == ["wind"]
    assert chain["asks_says"] == "Not known: wind. Say it, or weld a test."
    warm = cast.fact("conditions", at="08:05", sheet="110 f measured")
    over = cast.fact("event", at="08:10", trigger="sheet_moved", answer="overruled",
                     machine=cast.MACHINE, operator=cast.TOM)  # fmt: skip
    (chain,) = today(RUN, warm, over)["chains"]
    assert chain["test_again"] is None
    assert [(one["code"], one["answer_says"]) for one in chain["set_aside"]] == [
        ("sheet_moved", "overruled")
    ]
    fails = [cast.welded(n, "860 f", "cc", at=f"08:1{n}") for n in (1, 2)]
    (chain,) = today(RUN, *fails, clock="08:40")["chains"]
    assert [line.split()[0] for line in chain["out"]] == ["Machine", "Tom"]


def test_what_is_open_comes_with_its_reason() -> None:
    """Defects, T-joints, unfinished test welds, missing fields and doubts of the record."""
    facts = [
        cast.fact("defect", at="09:00", number="V1", seam="A-S001", station="9 ft"),
        cast.fact("t_joint", at="09:00", number="T1", creased=False),
        *cast.welded(8, "860 f", "f", at="09:10"),
        cast.fact("conditions", at="23:00"),
    ]
    figures = today(RUN, facts, clock="10:00")
    assert figures["defects"][0]["why_open_says"] == "not repaired"
    assert [why["code"] for why in figures["joints"][0]["why_open"]] == [
        "not_creased",
        "not_probed",
    ]
    assert [weld["number"] for weld in figures["unfinished"]] == ["8"]
    missing = {(one["kind"], one["field"]) for one in figures["missing"]}
    assert {("power_setup", "rated_power"), ("machine", "rated_volts")} <= missing
    assert [doubt["code"] for doubt in figures["cautions"]] == ["facts_ahead"]
    assert figures["counts"]["open_defects"] == 1


def test_counts_are_the_same_for_every_reader() -> None:
    """What a sign-off freezes knows no unit and no language."""
    assert today(RUN)["counts"] == today(RUN, reader=Reader("es", "metric"))["counts"]
