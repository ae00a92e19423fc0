"""Column names, limits and words."""

import math

import pytest

from lapwright.errors import FileUnreadable
from lapwright.readings import columns
from lapwright.units import to_si
from lapwright.window.strips import PULLS
from lapwright.words import LANGUAGES, say_error

NAMES = columns.HEADER.split(",")


def check(names: list[str]) -> None:
    """All checks of a header."""
    columns.check_names(names, file="a.csv", row=1)
    columns.check_header(names, file="a.csv")


def refused(names: list[str]) -> FileUnreadable:
    """The error that a header gives."""
    with pytest.raises(FileUnreadable) as caught:
        check(names)
    for language in LANGUAGES:  # whatever is refused is said in a sentence
        assert say_error(caught.value.code, caught.value.data, language=language).startswith(
            "a.csv"
        )
    return caught.value


def test_the_header_that_errors_show_is_right() -> None:
    """What we tell people to write passes our own checks."""
    check(NAMES)


@pytest.mark.parametrize("name", ["Air F", "  AIR_F ", "air_f", "Air\u00a0 F"])
def test_names_are_compared_without_case_and_spaces(name: str) -> None:
    """A spreadsheet's capitals and spaces do not make another column."""
    assert columns.tidy(name) == "air_f"


@pytest.mark.parametrize("name", ["weld", "strip", "pull"])
def test_a_needed_column_is_missed(name: str) -> None:
    """Without weld, strip or pull there is no test weld."""
    error = refused([kept for kept in NAMES if kept != name])
    assert (error.code, error.data["column"], error.data["choices"]) == (
        "column_missing",
        name,
        name,
    )


@pytest.mark.parametrize(
    ("left_out", "name", "choices"),
    [
        ("air_f", "air", "air_f, air_c"),
        ("speed_ft_min", "speed", "speed_ft_min, speed_m_min"),
        ("ambient_f", "ambient", "ambient_f, ambient_c"),
    ],
)
def test_a_needed_quantity_is_missed_with_its_units(left_out: str, name: str, choices: str) -> None:
    """The error names both columns that would do."""
    error = refused([kept for kept in NAMES if kept != left_out])
    assert error.code == "column_missing"
    assert (error.data["column"], error.data["choices"]) == (name, choices)


def test_the_top_is_never_passed_over_in_silence() -> None:
    """The overheat column must be there, though its cells may be blank."""
    assert refused(NAMES[:-1]).code == "column_overheat_missing"


def test_sheet_may_be_left_out() -> None:
    """The sheet is then taken as warm as the air on the roof."""
    check([name for name in NAMES if name != "sheet_f"])


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("air_f", "air_c"),
        ("speed_ft_min", "speed_m_min"),
        ("band_in", "band_mm"),
        ("measured_air_f", "measured_air_c"),
    ],
)
def test_one_quantity_in_two_units_is_refused(first: str, second: str) -> None:
    """Nobody can tell which of the two holds."""
    error = refused([*NAMES, *{first, second}.difference(NAMES)])
    assert (error.code, error.data["column"], error.data["other"]) == (
        "column_twice",
        first,
        second,
    )


def test_units_may_differ_between_quantities() -> None:
    """Air in F beside the band in mm is clear enough."""
    check([*NAMES, "band_mm"])


@pytest.mark.parametrize(
    ("name", "nearest"),
    [("overheet", "overheat"), ("speed_mmin", "speed_m_min"), ("weld_no", "weld")],
)
def test_an_unknown_name_is_met_with_the_nearest(name: str, nearest: str) -> None:
    """A slip of the pen is answered with the name that was meant."""
    error = refused([*NAMES, name])
    assert (error.code, error.data["column"]) == ("unknown_column", name)
    assert error.data["nearest"] == nearest


def test_a_quantity_without_unit_is_not_guessed() -> None:
    """850 could be F or C: the name must say it."""
    error = refused(["air", *NAMES])
    assert (error.code, error.data["choices"]) == ("column_unit_missing", "air_f, air_c")


def test_a_column_twice_is_refused() -> None:
    """Two columns of one name could disagree."""
    error = refused([*NAMES, "pull"])
    assert (error.code, error.data["column"]) == ("duplicate_column", "pull")


@pytest.mark.parametrize(
    ("name", "unit", "inside", "outside"),
    [
        ("air", "c", (0, 700), (-0.1, 700.1)),
        ("air", "f", (32, 1292), (31, 1293)),
        ("measured_air", "c", (0, 700), (-0.1, 700.1)),
        ("ambient", "c", (-60, 60), (-60.1, 60.1)),
        ("ambient", "f", (-76, 140), (-77, 141)),
        ("sheet", "c", (-60, 120), (-60.1, 120.1)),
        ("speed", "m_min", (0.1, 20), (0, 20.1)),
        ("speed", "ft_min", (0.5, 65.5), (-10, 66)),
        ("band", "mm", (0, 150), (-0.1, 150.1)),
        ("band", "in", (0, 5.9), (-0.1, 12)),
    ],
)
def test_limits(
    name: str, unit: str, inside: tuple[float, ...], outside: tuple[float, ...]
) -> None:
    """The limits themselves are allowed in either unit, what is just beyond is not."""
    has = columns.QUANTITIES[name].has
    assert [has(to_si(value, unit)) for value in inside] == [True, True]
    assert [has(to_si(value, unit)) for value in outside] == [False, False]


def test_limits_are_shown_in_the_unit_of_the_column() -> None:
    """A person who wrote F reads the limit in F (700 C is 1292 F, by definition)."""
    assert columns.QUANTITIES["air"].limits("f") == {"low": "32", "high": "1292 °F"}
    assert columns.QUANTITIES["volts"].limits(None) == {"low": "1", "high": "600"}


def test_every_grade_has_a_word_in_both_languages() -> None:
    """No grade can be written in one language only."""
    own = {word for word, grade in columns.PULL_WORDS.items() if word == grade}
    other = {grade for word, grade in columns.PULL_WORDS.items() if word != grade}
    assert own == other == set(PULLS)


def test_nothing_is_hidden_in_what_an_error_shows() -> None:
    """Cell text in an error is short, on one line and printable."""
    assert columns.shown("a\n  b\x1b\ud800") == "a b??"
    assert len(columns.shown("9" * 500)) == 40


def test_no_limit_is_open() -> None:
    """Each quantity has a finite range, the lower limit below the upper."""
    for quantity in columns.QUANTITIES.values():
        assert -math.inf < quantity.low < quantity.high < math.inf
