"""People, machines and rules in the paper: each once, with who says so."""

from __future__ import annotations

from tests import cast
from tests.handed import EN, ES, RULES, grids, said, teller, week, week_closed

from lapwright.report.dossier.crew import crew, rules
from lapwright.report.dossier.telling import Teller


def test_each_person_machine_and_lot_stands_once() -> None:
    """Power was checked seven times in the week: one source is one row."""
    told = grids(crew(Teller(week_closed(), EN)))
    names = {fact["name"] for fact in week() if fact.kind == "person"}
    assert [row[0] for row in told["People"].rows].count("Tom") == 1
    assert {row[0] for row in told["People"].rows} == names
    assert {row[0] for row in told["Machines"].rows} == {"3", "7"}
    assert len(told["Power"].rows) == 1
    assert told["Sheets joined"].rows[0][:2] == ("TPO 60\u00a0mil, white",) * 2


def test_a_source_on_another_cord_is_another() -> None:
    """What makes power another is told, each in its row."""
    other = cast.fact("power_setup", at="08:00", gauge="12 AWG")
    rows = grids(crew(teller([*cast.SETUP, other])))["Power"].rows
    assert len(rows) == 3


def test_what_nobody_recorded_is_said() -> None:
    """Five headings, five times nothing."""
    told = said(crew(teller([cast.JOB_FACT])))
    assert told.count("Nothing was recorded.") == 5


def test_every_rule_in_force_stands_with_who_says_so() -> None:
    """As many rows as rules that are set, and no source is empty."""
    rows = grids(rules(Teller(week_closed(), EN)))["Rules in force"].rows
    assert len(rows) == len(RULES.rules)
    assert all(all(row) for row in rows)


def test_defaults_are_told_as_such() -> None:
    """They are nobody's contract."""
    told = said(rules(Teller(week_closed(), EN)))
    assert any("0 of " in text and "without authority" in text for text in told)


def test_rules_that_were_recorded_stand_with_their_edition() -> None:
    """When, which edition, who."""
    kept = cast.fact("rules", at="06:10", edition="2026-A", by=cast.ROSA)
    own = teller([*cast.SETUP, kept], ES)
    (row,) = grids(rules(own))["Reglas anotadas; rige la última"].rows
    assert row[1:] == ("2026-A", "Rosa")
