"""Every code has its sentence in both languages, and values read as people write them."""

from __future__ import annotations

import ast
import string
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import get_args

import pytest

from lapwright import words
from lapwright.units import UnitSystem, difference_to_si, to_si
from lapwright.window.answer import Verdict
from lapwright.window.setpoint import POLICIES
from lapwright.words import LANGUAGES, Language, number, quantity, say, say_error, share

FOLDER = Path(words.__file__).parent
SOURCE = FOLDER.parent
TABLES = {
    language: tomllib.loads((FOLDER / f"{language}.toml").read_text(encoding="utf-8"))
    for language in LANGUAGES
}
SECTIONS = sorted(TABLES["en"])


def calls() -> Iterator[tuple[str, ast.Call]]:
    """Every call in the package: place and call."""
    for path in sorted(SOURCE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call):
                yield f"{path.relative_to(SOURCE)}:{node.lineno}", node


def called(node: ast.Call) -> str:
    """Last part of the name of what is called."""
    if isinstance(node.func, ast.Attribute):
        return node.func.attr
    return node.func.id if isinstance(node.func, ast.Name) else ""


def text(node: ast.expr | None) -> str | None:
    """A literal text, or None."""
    is_text = isinstance(node, ast.Constant) and isinstance(node.value, str)
    return node.value if is_text else None  # type: ignore[union-attr, return-value]


def first_texts(*names: str) -> dict[str, str]:
    """Literal first arguments of calls by these names, with one place each."""
    return {
        value: place
        for place, node in calls()
        if called(node) in names and node.args and (value := text(node.args[0])) is not None
    }


def spoken_reasons() -> set[str]:
    """Every reason that a suggestion is made with."""
    given = {
        text(node.args[2] if len(node.args) > 2 else None)
        for _, node in calls()
        if called(node) == "Suggestion"
    }
    given |= {
        text(keyword.value)
        for _, node in calls()
        if called(node) == "replace"
        for keyword in node.keywords
        if keyword.arg == "reason"
    }
    stops = {"certified", "no_window", "saturated"}  # a verdict that ends testing is its own reason
    return {reason for reason in given if reason is not None} | stops


def placeholders(sentence: str) -> set[str]:
    """Names in braces; a list of Spanish choices stands for the list of choices."""
    return {
        name.removesuffix("_es")
        for _, name, _, _ in string.Formatter().parse(sentence)
        if name is not None
    }


@pytest.mark.parametrize("section", SECTIONS)
def test_both_languages_say_the_same_things(section: str) -> None:
    """Same keys in both files, same values named in both sentences, none of them empty."""
    english, spanish = TABLES["en"][section], TABLES["es"][section]
    assert sorted(english) == sorted(spanish)
    for code, sentence in english.items():
        assert placeholders(sentence) == placeholders(spanish[code]), code
        assert sentence.strip(), code
        assert spanish[code].strip(), code


def test_both_languages_have_the_same_tables() -> None:
    """No table stands in one file alone."""
    assert sorted(TABLES["es"]) == SECTIONS


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_error_raised_has_its_sentence(language: Language) -> None:
    """Each code given to an error anywhere in the package is worded."""
    raised = first_texts("LapwrightError", "FileUnreadable", "error", "Refused")
    raised.pop("out_of_range", None)  # worded by its limits, below
    assert len(raised) > 30
    missing = {code: at for code, at in raised.items() if code not in TABLES[language]["error"]}
    assert not missing


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_caution_raised_has_its_sentence(language: Language) -> None:
    """Each code given to a caution anywhere in the package is worded."""
    raised = first_texts("Caution", "name")
    assert {"hot_strips", "odd_welds"} <= set(raised)
    missing = {code: at for code, at in raised.items() if code not in TABLES[language]["caution"]}
    assert not missing


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_quantity_out_of_range_has_its_name(language: Language) -> None:
    """A refused quantity is named in the reader's words, not by its code."""
    raised = first_texts("OutOfRange", "above_zero")
    assert {"level", "strips"} <= set(raised)
    missing = {code: at for code, at in raised.items() if code not in TABLES[language]["quantity"]}
    assert not missing


@pytest.mark.parametrize("language", LANGUAGES)
def test_what_an_answer_says_has_its_sentence(language: Language) -> None:
    """Verdicts, what to do, reasons, changes and policies are all worded."""
    table = TABLES[language]
    assert sorted(table["verdict"]) == sorted(table["do"]) == sorted(get_args(Verdict))
    reasons = spoken_reasons()
    assert {"first", "learn", "enough", "ladder_done"} <= reasons
    assert reasons <= set(table["reason"])
    assert set(table["policy"]) >= set(POLICIES)
    changes = {"sheet_colder", "sheet_warmer", "air_cooler", "air_hotter", "faster", "slower"}
    assert set(table["change"]) >= changes


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("section", SECTIONS)
def test_every_sentence_can_be_said(language: Language, section: str) -> None:
    """With nothing given, a sentence still comes out, its gaps shown as question marks."""
    for code, sentence in TABLES[language][section].items():
        said = say(section, code, language=language)
        assert said.count("?") >= len(placeholders(sentence)), code


def test_values_are_written_by_what_they_are() -> None:
    """The same kelvin is an air temperature or a margin, in the reader's units and comma."""
    said: list[tuple[str, float, Language, UnitSystem, str]] = [
        ("air", to_si(850, "f"), "en", "us", "850 °F"),
        ("air", to_si(460, "c"), "es", "metric", "460 °C"),
        ("margin", difference_to_si(18, "f"), "en", "us", "18 °F"),
        ("margin", difference_to_si(18, "f"), "en", "metric", "10 °C"),
        ("margin", -10.0, "en", "metric", "−10 °C"),
        ("speed", to_si(10, "ft_min"), "en", "us", "10.0 ft/min"),
        ("speed", to_si(3.05, "m_min"), "es", "metric", "3,05 m/min"),
        ("thickness", to_si(60, "mil"), "en", "us", "60 mil"),
        ("thickness", to_si(1.5, "mm"), "es", "metric", "1,5 mm"),
        ("level", 0.9, "en", "us", "90 %"),
        ("strips", 3.0, "en", "us", "3"),
        ("strips", 2.5, "es", "us", "2,50"),
    ]
    for name, value, language, units, expected in said:
        assert quantity(name, value, language=language, units=units) == expected


def test_a_chance_is_never_printed_as_certain() -> None:
    """Above 99 % and below 1 % in words, between them in whole percent."""
    assert share(1.0, "en") == share(0.991, "en") == "over 99 %"
    assert share(0.0, "es") == share(0.009, "es") == "menos de 1 %"
    assert (share(0.99, "en"), share(0.01, "en")) == ("99 %", "1 %")


def test_numbers_carry_a_true_minus_and_the_languages_comma() -> None:
    """Decimal point in English, comma in Spanish, the minus sign of typographers."""
    assert number(-1.25, 2, "en") == "−1.25"
    assert number(-1.25, 2, "es") == "−1,25"


@pytest.mark.parametrize(
    ("limits", "expected"),
    [
        ({"above": 0.5, "below": 1.0}, "level of P(sound) is 30 %: it must lie between 50 % and"),
        ({"above": 0.5}, "level of P(sound) is 30 %: it must be above 50 %"),
        ({"below": 0.2}, "level of P(sound) is 30 %: it must be below 20 %"),
    ],
)
def test_out_of_range_is_said_by_its_limits(limits: dict[str, float], expected: str) -> None:
    """Name, value and the limits that there are, in the reader's words."""
    assert say_error("out_of_range", {"name": "level", "value": 0.3, **limits}).startswith(expected)


def test_an_error_is_said_in_the_readers_units_and_tongue() -> None:
    """The value at fault is converted by its name."""
    data = {"name": "max_air", "value": to_si(450, "f"), "above": to_si(500, "f"), "below": None}
    assert say_error("out_of_range", data).endswith("is 450 °F: it must be above 500 °F.")
    spanish = say_error("out_of_range", data, language="es", units="metric")
    assert spanish.endswith("es 232 °C: debe ser más de 260 °C.")


def test_an_unknown_sentence_is_a_bug() -> None:
    """A code without a sentence is refused loudly."""
    with pytest.raises(KeyError):
        say("verdict", "perhaps")
