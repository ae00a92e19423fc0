"""One fact, checked whole: what is missing, unknown or not allowed is refused by its field."""

from __future__ import annotations

import json
from collections.abc import Callable
from itertools import count
from typing import Any

import pytest

from lapwright.errors import LapwrightError
from lapwright.record.chain import canonical
from lapwright.record.fact import (
    DEEPEST_JSON,
    LONGEST_NOTE,
    LONGEST_TEXT,
    MOST_REFS,
    Fact,
    read_fact,
    si,
)

Plain = Callable[..., dict[str, Any]]
ID = "01976d00-0000-7000-8000-00000000000a"
SHA = "a" * 64


def weld(plain: Plain, **fields: Any) -> dict[str, Any]:
    """A test weld as it travels."""
    usual = {
        "number": "1", "machine": ID, "operator": ID, "conditions": ID,
        "air": {"typed": "860", "unit": "f", "how": "set"},
        "speed": {"typed": "10", "unit": "ft_min", "how": "set"},
    }  # fmt: skip
    return plain(1, "test_weld", **(usual | fields))


def decision(plain: Plain, question: Any, **fields: Any) -> dict[str, Any]:
    """A decision as it travels: it carries any JSON."""
    usual = {
        "machine": ID, "operator": ID, "test_welds": [ID], "question": question, "answer": {},
        "worked_out": "phone", "model": "m", "accepted": True,
    }  # fmt: skip
    return plain(1, "decision", **(usual | fields))


def test_it_comes_back_as_it_travelled(plain: Plain) -> None:
    """Nothing is added, dropped or converted: plain JSON in, the same plain JSON out."""
    raw = weld(plain, note="von Hand\n860 ñ", volts=None)
    fact = read_fact(json.loads(json.dumps(raw)))
    assert fact.plain() == raw
    assert Fact(**fact.plain()) == fact
    assert fact["volts"] is fact["load"] is None


def test_a_missing_note_is_an_empty_one(plain: Plain) -> None:
    """The note is never required."""
    raw = weld(plain)
    del raw["note"]
    assert read_fact(raw).note == ""


def test_moment_and_day_are_those_of_the_roof(plain: Plain) -> None:
    """The day is read off the clock on the roof, the moment counts in all zones alike."""
    late = read_fact(weld(plain, at="2026-05-04T23:30:00-06:00"))
    assert late.day == "2026-05-04"
    assert late.moment == read_fact(weld(plain, at="2026-05-05T05:30:00Z")).moment


@pytest.mark.parametrize(
    ("typed", "unit", "expected"),
    [
        # NIST SP 811 (2008), appendix B.8: F to K is (F + 459.67)/1.8; 1 ft/min = 5.08e-3 m/s
        ("850", "f", (850 + 459.67) / 1.8), ("10", "ft_min", 0.0508), ("3,05", "m_min", 3.05 / 60),
        (".5", "m_min", 0.5 / 60), ("-4", "f", 455.67 / 1.8), ("+10", "c", 283.15),
    ],
)  # fmt: skip
def test_si_is_worked_out_from_what_was_typed(typed: str, unit: str, expected: float) -> None:
    """Decimal point or comma, sign or none: the value in SI."""
    assert si({"typed": typed, "unit": unit, "how": "set"}) == pytest.approx(expected, rel=1e-12)


def test_what_is_not_known_has_no_si() -> None:
    """Nothing measured, and a mark on a dial, are not a number."""
    assert si(None) is None
    assert si({"typed": "6", "unit": "dial", "how": "set"}) is None


# --- refusals ---------------------------------------------------------------------------------

UNSHAPED = [None, [], "fact", 1, b"{}"]


@pytest.mark.parametrize("raw", UNSHAPED, ids=repr)
def test_what_is_no_object_is_no_fact(raw: object) -> None:
    """JSON of another shape is refused as such."""
    with pytest.raises(LapwrightError, match="fact_misshapen"):
        read_fact(raw)


COMMON = [
    ("id", "x"), ("id", None), ("id", ID.upper()), ("id", ID + "\n"), ("id", f"{{{ID}}}"),
    ("job", 1), ("job", "../" + ID), ("at", "2026-05-04T07:05:00"), ("at", "yesterday"),
    ("at", "2026-05-04"), ("at", "20260504T070500Z"), ("at", None), ("at", 0),
    ("at", "2026-02-30T07:05:00Z"), ("entered_at", ""), ("by", None), ("by", "x" * 501),
    ("entered_by", 7), ("device", "\0"), ("device", "\ud800"), ("note", "x" * (LONGEST_NOTE + 1)),
    ("note", "\x1b[2J"), ("note", None),
]  # fmt: skip


@pytest.mark.parametrize(("name", "value"), COMMON, ids=count())
def test_common_fields_hold_what_they_must(plain: Plain, name: str, value: Any) -> None:
    """Ids, times and texts of any fact are checked, and the refusal names the field."""
    with pytest.raises(LapwrightError) as caught:
        read_fact({**weld(plain), name: value})
    assert (caught.value.code, caught.value.data["field"]) == ("fact_value", name)


@pytest.mark.parametrize("name", ["id", "job", "at", "entered_at", "by", "entered_by", "device"])
def test_no_common_field_may_be_missing(plain: Plain, name: str) -> None:
    """A fact without one of them is refused by that field."""
    raw = weld(plain)
    del raw[name]
    with pytest.raises(LapwrightError) as caught:
        read_fact(raw)
    assert caught.value.data["field"] == name


def test_unknown_names_are_refused(plain: Plain) -> None:
    """A kind, a common field or a field of the kind that nobody knows is refused, not dropped."""
    for raw, code in (
        ({**weld(plain), "kind": "movie"}, "fact_unknown_kind"),
        ({**weld(plain), "mood": "good"}, "fact_unknown_field"),
        (weld(plain, mood="good"), "fact_unknown_field"),
        ({**weld(plain), "body": None}, "fact_misshapen"),
    ):
        with pytest.raises(LapwrightError, match=code):
            read_fact(raw)


def test_must_and_asked_differ(plain: Plain) -> None:
    """A field that must be there may not be None; one that was asked may, but may not be absent."""
    with pytest.raises(LapwrightError, match="fact_missing"):
        read_fact(weld(plain, machine=None))
    assert read_fact(weld(plain, power_setup=None))["power_setup"] is None
    raw = weld(plain)
    del raw["body"]["power_setup"]
    with pytest.raises(LapwrightError, match="fact_missing") as caught:
        read_fact(raw)
    assert caught.value.data["field"] == "power_setup"


AIR = {"typed": "860", "unit": "f", "how": "set"}
VALUES: list[tuple[str, Any, bool]] = [
    ("number", "A-1", True), ("number", "x" * LONGEST_TEXT, True),
    ("number", "x" * (LONGEST_TEXT + 1), False), ("number", 1, False), ("number", "\x00", False),
    ("purpose", "confirm", True), ("purpose", "fun", False), ("purpose", ["confirm"], False),
    ("machine", ID, True), ("machine", "3", False), ("machine", [ID], False),
    ("air", {**AIR, "typed": "1.148,5"}, False), ("air", {**AIR, "typed": "8e2"}, False),
    ("air", {**AIR, "typed": "nan"}, False), ("air", {**AIR, "typed": 860}, False),
    ("air", {**AIR, "typed": ""}, False), ("air", {**AIR, "typed": "1" * 21}, False),
    ("air", {**AIR, "unit": "k"}, False),
    ("air", {**AIR, "unit": "ft_min"}, False), ("air", {**AIR, "how": "guessed"}, False),
    ("air", {**AIR, "instrument": "7"}, False), ("air", {"typed": "860", "unit": "f"}, False),
    ("air", "860 f", False), ("air", {**AIR, "unit": "dial"}, True),
    ("volts", {"typed": "228,5", "unit": "v", "how": "measured"}, True),
]  # fmt: skip


@pytest.mark.parametrize(("name", "value", "fits"), VALUES, ids=count())
def test_a_field_holds_what_its_kind_says(plain: Plain, name: str, value: Any, fits: bool) -> None:
    """Text, word, id and measure are checked each in its way."""
    raw = weld(plain, **{name: value})
    if fits:
        assert read_fact(raw)[name] == value
    else:
        with pytest.raises(LapwrightError, match="fact_value") as caught:
            read_fact(raw)
        assert caught.value.data["field"] == name


@pytest.mark.parametrize(
    ("kind", "fields", "fits"),
    [
        ("hot_look", {"test_weld": ID, "smoke": True}, True),
        ("hot_look", {"test_weld": ID, "smoke": 1}, False),
        ("hot_look", {"test_weld": ID, "smoke": "yes"}, False),
        ("photo", {"file": SHA, "of": ID}, True),
        ("photo", {"file": SHA.upper(), "of": ID}, False),
        ("photo", {"file": SHA[1:], "of": ID}, False),
        ("lot", {"membrane": "tpo", "colour": "white", "backing": "fleece", "made": "2026-02-28",
                 "thickness": {"typed": "60", "unit": "mil", "how": "displayed"}}, True),
        ("lot", {"membrane": "tpo", "colour": "white", "backing": "fleece", "made": "2026-02-30",
                 "thickness": {"typed": "60", "unit": "mil", "how": "displayed"}}, False),
        ("pairing", {"upper": ID, "lower": ID, "aged_years": 3}, True),
        ("pairing", {"upper": ID, "lower": ID, "aged_years": -1}, False),
        ("pairing", {"upper": ID, "lower": ID, "aged_years": True}, False),
        ("pairing", {"upper": ID, "lower": ID, "aged_years": 1.5}, False),
        ("person", {"name": "Ana", "language": "es", "units": "us", "tasks": ["probe", "sign"]},
         True),
        ("person", {"name": "Ana", "language": "es", "units": "us", "tasks": ["probe", "probe"]},
         False),
        ("person", {"name": "Ana", "language": "es", "units": "us", "tasks": ["fly"]}, False),
        ("person", {"name": "Ana", "language": "fr", "units": "us", "tasks": []}, False),
    ],
    ids=count(),
)  # fmt: skip
def test_other_kinds_of_values(plain: Plain, kind: str, fields: dict[str, Any], fits: bool) -> None:
    """Flags, hashes, dates, counts and lists of words are checked each in its way."""
    raw = plain(1, kind, **fields)
    if fits:
        assert read_fact(raw).plain() == raw
    else:
        with pytest.raises(LapwrightError, match="fact_value"):
            read_fact(raw)


def nested(levels: int) -> Any:
    """Lists within lists."""
    return [nested(levels - 1)] if levels else 1


@pytest.mark.parametrize(
    ("value", "fits"),
    [
        ({"a": [1, 2.5, None, True, "x", {}]}, True), (nested(DEEPEST_JSON), True),
        (nested(DEEPEST_JSON + 1), False), (float("nan"), False), (float("inf"), False),
        (2**53 - 1, True), (-(2**53) + 1, True), (2**53, False), ({1: 2}, False), ({1, 2}, False),
        (b"x", False),
    ],
    ids=count(),
)  # fmt: skip
def test_json_is_what_every_reader_reads_alike(plain: Plain, value: Any, fits: bool) -> None:
    """A field kept whole holds JSON within the limits of other readers (RFC 8259, section 6)."""
    if fits:
        fact = read_fact(decision(plain, value))
        assert json.loads(canonical(fact)) == fact.plain()
    else:
        with pytest.raises(LapwrightError, match="fact_value") as caught:
            read_fact(decision(plain, value))
        assert caught.value.data["field"] == "question"


@pytest.mark.parametrize("value", [1e17, float(2**53), "\ud800", {"\ud800": 1}], ids=repr)
def test_json_that_cannot_be_sealed_is_refused(plain: Plain, value: Any) -> None:
    """A number beyond 2**53 comes back from JSON as a whole one, half a pair is no text."""
    with pytest.raises(LapwrightError, match="fact_value"):
        read_fact(decision(plain, value))


@pytest.mark.parametrize(
    "at",
    ["2026-W19-1T07:05:00Z", "2026-05-04 07:05:00Z", "2026-05-04T07Z", "0001-01-01T00:00:00+01:00",
     "9999-12-31T23:59:59-01:00", "2026-05-04T07:05:00+01:00:01"],
)  # fmt: skip
def test_a_time_has_one_form_and_a_sensible_year(plain: Plain, at: str) -> None:
    """Day, T, clock and offset (RFC 3339, 5.6): what a browser reads, and UTC can hold."""
    with pytest.raises(LapwrightError, match="fact_value"):
        read_fact(weld(plain, at=at))


def test_a_number_is_typed_in_digits_that_the_phone_reads_too(plain: Plain) -> None:
    """Python reads the digits of every script as numbers, a browser does not: only 0 to 9."""
    with pytest.raises(LapwrightError, match="fact_value"):
        read_fact(weld(plain, air={**AIR, "typed": "\u0668\u0666\u0660"}))


def test_a_list_of_ids_has_its_limit(plain: Plain) -> None:
    """A decision may name many test welds, not any number."""
    assert read_fact(decision(plain, {}, test_welds=[ID] * MOST_REFS))
    for wrong in ([ID] * (MOST_REFS + 1), ["1"], ID, None):
        with pytest.raises(LapwrightError):
            read_fact(decision(plain, {}, test_welds=wrong))


def test_a_refusal_says_what_is_allowed(plain: Plain) -> None:
    """The error carries field, type and the words that fit, for the sentence."""
    with pytest.raises(LapwrightError) as caught:
        read_fact(weld(plain, place="moon"))
    assert caught.value.data == {"field": "place", "wanted": "word", "among": "scrap, roof"}
