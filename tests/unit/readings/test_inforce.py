"""Rules in force: what the record says they are, from when, and what of it cannot be read."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from tests import cast

from lapwright.errors import LapwrightError
from lapwright.readings.inforce import rules_body, rules_fact, rules_of
from lapwright.readings.rules import default_layer, parse_layer, read_layer, read_rule_book
from lapwright.record.fact import Fact
from lapwright.record.replay import Record

HEAD = 'layer = "specification"\nedition = "2026-03"\nset_by = "QL"\n'
SPEC = HEAD + (
    '[time_since_pass]\nvalue = 2\nunit = "h"\nclause = "3.5"\nnote = "invented"\n'
    '[fused_width]\nvalue = 44.5\nunit = "mm"\nclause = "3.4"\n'
    '[long_stop]\nvalue = false\nclause = "3.6"\n'
)


def said(rule: str = "time_since_pass", **changes: Any) -> dict[str, Any]:
    """One recorded clause."""
    clause = {"rule": rule, "value": 1, "unit": "h", "layer": "company", "clause": "4.2",
              "edition": "2026", "set_by": "QL"}  # fmt: skip
    return clause | changes


def rules(*clauses: Any, at: str = "07:00", **more: Any) -> Fact:
    """A fact with these clauses."""
    return cast.fact("rules", at=at, edition="7", clauses=[*clauses], **more)


def hours(record: Record, at: str | None = None) -> float:
    """Longest time without a passing test weld that is in force."""
    moment = None if at is None else datetime.fromisoformat(cast.time(at))
    return rules_of(record, at=moment)["time_since_pass"].value / 3600


def test_a_file_in_the_record_rules_as_the_file_does() -> None:
    """Kept and read again, every clause is the one that the file gives, to the last digit."""
    layer = parse_layer(SPEC, file="papers/spec.toml")
    record = cast.record(cast.fact("rules", **rules_body([layer])))
    book = rules_of(record)
    assert book.cautions == ()
    for clause in layer:
        kept = next(
            each
            for each in (book[clause.rule].governing, *book[clause.rule].losing)
            if each.layer == "specification"
        )
        assert kept.place == f"spec.toml:{clause.line}"
        for name in ("value", "typed", "unit", "text", "edition", "set_by", "note"):
            assert getattr(kept, name) == getattr(clause, name), name
    assert book["time_since_pass"].governing.text == "3.5"


def test_defaults_govern_where_nobody_recorded_rules() -> None:
    """Without a fact, or with one that holds no clause, the book is the default one."""
    assert rules_of(cast.record()).rules == read_rule_book([]).rules
    assert rules_of(cast.record(rules())).rules == read_rule_book([]).rules


def test_every_default_survives_the_record() -> None:
    """All units and switches of the rule table come back with the same value."""
    record = cast.record(cast.fact("rules", **rules_body([default_layer()])))
    book = rules_of(record)
    assert book.cautions == ()
    assert {name: rule.value for name, rule in book.rules.items()} == {
        name: rule.value for name, rule in read_rule_book([]).rules.items()
    }


def test_a_change_counts_from_its_moment() -> None:
    """The latest fact at the moment governs whole; before the first one the defaults do."""
    record = cast.record(
        rules(said(value=2), said("long_stop", value=10, unit="min"), at="09:00"),
        rules(said(value=3), at="13:00"),
    )
    assert [hours(record, at) for at in ("08:59", "09:00", "12:59", "13:00")] == [4, 2, 2, 3]
    assert hours(record) == 3
    assert rules_of(record)["long_stop"].governing.layer == "default"


def test_rules_taken_back_bring_the_earlier_ones_back() -> None:
    """A withdrawn fact counts for nothing."""
    wrong = rules(said(value=3), at="13:00")
    back = cast.fact("correction", at="14:00", of=wrong, field="withdrawn", new=True)
    assert hours(cast.record(rules(said(value=2), at="09:00"), wrong, back)) == 2


def test_files_lie_on_top(tmp_path: Path) -> None:
    """A file binds more where it is the stricter, and the recorded clause where that is."""
    file = tmp_path / "spec.toml"
    file.write_text(SPEC, encoding="utf-8")
    mild, strict = (cast.record(rules(said(value=value))) for value in (3, 1))
    assert (
        rules_of(mild, extra=[read_layer(file)])["time_since_pass"].governing.layer
        == "specification"
    )
    assert (
        rules_of(strict, extra=[read_layer(file)])["time_since_pass"].governing.layer == "company"
    )


@pytest.mark.parametrize(
    ("clause", "named"),
    [
        (said("future_rule"), "future_rule"),
        (said(unit="fortnight"), "time_since_pass"),
        (said(value="two"), "time_since_pass"),
        (said(value={}), "time_since_pass"),
        (said(layer="neighbour"), "time_since_pass"),
        (said(layer=["company"]), "time_since_pass"),
        (said(clause=""), "time_since_pass"),
        (said(set_by=5), "time_since_pass"),
        (said(clause="4.2\x1b[2J"), "time_since_pass"),
        (said(typo=1), "time_since_pass"),
        (said(line="4"), "time_since_pass"),
        (said("doubt", value=False, unit=""), "doubt"),
        (said(rule=["doubt"]), "['doubt']"),
        ("3.5 of the drawings", "3.5 of the drawings"),
        (None, "None"),
    ],
    ids=str,
)
def test_a_clause_that_cannot_be_read_is_named(clause: Any, named: str) -> None:
    """It does not count, it stops nobody, and the caution says which one; the rest counts."""
    book = rules_of(cast.record(rules(clause, said("lunch", value=False, unit=""))))
    (caution,) = book.cautions
    assert (caution.code, caution.data["rule"]) == ("rule_unread", named)
    assert caution.data["edition"] == ("2026" if isinstance(clause, dict) else "7")
    assert book["time_since_pass"].governing.layer == "default"
    assert not book.is_on("lunch")
    assert book.is_on("doubt")


def test_what_is_no_list_of_clauses_is_named_too() -> None:
    """A fact of another shape is one clause that cannot be read; long text is cut."""
    record = cast.record(cast.fact("rules", edition="9", clauses={"rule": "x" * 200}))
    (caution,) = rules_of(record).cautions
    assert caution.data["rule"] == "x" * 59 + "…"
    assert caution.data["edition"] == "9"


def test_recorded_rules_that_contradict_are_a_caution(tmp_path: Path) -> None:
    """Nobody can keep both; each is still held against, and a file on top is refused."""
    record = cast.record(
        rules(
            said("air_lowest", value=900, unit="degF", file="a.toml", line=4),
            said("air_highest", value=800, unit="degF", file="b.toml", line=7),
        )
    )
    book = rules_of(record)
    (caution,) = book.cautions
    assert caution.code == "rules_contradict"
    assert (caution.data["place"], caution.data["other_place"]) == ("a.toml:4", "b.toml:7")
    assert book["air_lowest"].value > book["air_highest"].value
    file = tmp_path / "spec.toml"
    file.write_text(SPEC, encoding="utf-8")
    with pytest.raises(LapwrightError) as caught:
        rules_of(record, extra=[read_layer(file)])
    assert caught.value.code == "rules_contradict"


def test_the_fact_itself_is_there_to_be_cited() -> None:
    """For a page that says since when these rules hold."""
    first, second = rules(at="09:00"), rules(said(), at="13:00")
    record = cast.record(first, second)
    assert rules_fact(record) == second
    assert rules_fact(record, at=datetime.fromisoformat(cast.time("10:00"))) == first
    assert rules_fact(cast.record()) is None
