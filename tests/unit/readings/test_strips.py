"""Rows to test welds: values, units, what belongs to a weld, and what is refused."""

from importlib.resources import files
from pathlib import Path

import pytest

from lapwright.errors import FileUnreadable
from lapwright.readings.strips import MOST_ROWS, read_welds, welds_from_rows
from lapwright.window.strips import Strip, TestWeld
from lapwright.words import LANGUAGES, say_error

EXAMPLES = Path(str(files("lapwright"))) / "examples"
HEADER = "weld,air_f,speed_ft_min,ambient_f,sheet_f,strip,pull,overheat,band_in,note"
ROW = {
    "weld": "1",
    "air_f": "860",
    "speed_ft_min": "10",
    "ambient_f": "72",
    "sheet_f": "80",
    "strip": "1",
    "pull": "full",
    "overheat": "none",
}


def read(*rows: str, header: str = HEADER) -> tuple[TestWeld, ...]:
    """Test welds of a few lines under a header."""
    return read_welds("\n".join([header, *rows]), name="a.csv")


def with_cells(**cells: object) -> TestWeld:
    """The weld of one row in which some cells are other ones; None takes the column out."""
    row = {name: cell for name, cell in (ROW | cells).items() if cell is not None}
    (weld,) = welds_from_rows([row], name="page")
    return weld


def refused(*rows: dict[str, object]) -> FileUnreadable:
    """The error that rows give."""
    with pytest.raises(FileUnreadable) as caught:
        welds_from_rows(list(rows), name="page")
    assert caught.value.data["file"] == "page"
    for language in LANGUAGES:  # whatever is refused is said in a sentence
        assert say_error(caught.value.code, caught.value.data, language=language).startswith("page")
    return caught.value


def test_one_row_in_si() -> None:
    """Field units become SI (foot, inch and degree Fahrenheit by their definition)."""
    (weld,) = read("1,860,10,32,77,1,full,none,1.5, a note ")
    assert weld == TestWeld(
        number="1",
        air=pytest.approx(733.15, rel=1e-12),
        speed=pytest.approx(0.0508, rel=1e-12),
        ambient=pytest.approx(273.15, rel=1e-12),
        sheet=pytest.approx(298.15, rel=1e-12),
        strips=(Strip("1", "full", "none", pytest.approx(0.0381, rel=1e-12), "a note"),),
    )


def test_metric_row_with_decimal_comma() -> None:
    """Metric columns and decimal commas, as a Spanish spreadsheet writes them."""
    header = "Weld;Strip;Pull;Overheat;Air_C;Speed_m_min;Ambient_C;Band_mm;Measured_Air_C;Volts"
    (weld,) = read("1;1;FULL; ;460,5;3,6;-2,5;38,1;455;228,5", header=header)
    assert (weld.air, weld.speed) == pytest.approx((733.65, 0.06))
    assert weld.sheet == weld.ambient == pytest.approx(270.65)
    assert (weld.measured_air, weld.volts) == pytest.approx((728.15, 228.5))
    assert weld.strips[0].band == pytest.approx(0.0381)


def test_commas_in_numbers() -> None:
    """A typed decimal comma is read; in a comma-separated file 1,000 could be either."""
    assert with_cells(speed_ft_min="10,5").speed == with_cells(speed_ft_min=10.5).speed
    with pytest.raises(FileUnreadable) as caught:
        read('1,"1,000",10,72,80,1,full,none,,')
    assert caught.value.code == "comma_in_number"
    assert {"row": 2, "column": "air_f", "value": "1,000"}.items() <= caught.value.data.items()


def test_nobody_looked_is_not_none() -> None:
    """A blank overheat cell stays unknown."""
    (weld,) = read("1,860,10,72,80,1,full,,,", "1,,,,,2,full,none,,")
    assert [strip.overheat for strip in weld.strips] == [None, "none"]


@pytest.mark.parametrize(
    ("typed", "pull"),
    [
        (" Cold ", "cold"),
        ("FRÍA", "cold"),
        ("fria", "cold"),
        ("Falsa", "skin"),
        ("parcial", "partial"),
        ("Completa", "full"),
        ("rotura", "break"),
        ("delaminada", "split"),
        ("invalida", "invalid"),
    ],
)
def test_words_of_a_pull(typed: str, pull: str) -> None:
    """Either language, any case, with or without accents."""
    assert with_cells(pull=typed).strips[0].pull == pull


@pytest.mark.parametrize(
    ("typed", "overheat"),
    [
        ("None", "none"),
        (" SIGNS", "signs"),
        ("ninguna", "none"),
        ("ninguno", "none"),
        ("Señales", "signs"),
        ("senales", "signs"),
        ("", None),
        (None, None),
    ],
)
def test_words_of_overheat(typed: str | None, overheat: str | None) -> None:
    """Either language; blank is not looked. The key itself must be there."""
    (weld,) = welds_from_rows([ROW | {"overheat": typed}], name="page")
    assert weld.strips[0].overheat == overheat


def test_spellings_of_one_number() -> None:
    """Spreadsheets turn 1 into 1.0 or 01; it stays weld 1. 1.5 and A1 are names of their own."""
    (weld,) = read("1,860,10,72,80,1,full,none,,", "1.0,,,,,2,full,none,,", "01,,,,,03,full,none,,")
    assert weld.number == "1"
    assert [strip.number for strip in weld.strips] == ["1", "2", "3"]
    assert [with_cells(weld=name).number for name in ("1.5", "A1", 7, 7.0, "0")] == [
        "1.5",
        "A1",
        "7",
        "7",
        "0",
    ]


def test_what_belongs_to_the_weld_may_stand_once() -> None:
    """Blank cells of a weld mean the same as its other rows, whichever comes first."""
    first, second = read(
        "1,,,,,1,full,none,,",
        "1,860,10,72,80,2,full,none,,",
        "2,700,10,72,,1,cold,none,,",
        "1,860.0,,,80,3,full,none,,",
    )
    assert (len(first.strips), first.air) == (3, pytest.approx(733.15))
    assert second.sheet == second.ambient


def test_welds_and_strips_are_put_in_order() -> None:
    """2 comes before 10, for welds and for strips."""
    row = "{},860,10,72,80,{},full,none,,".format
    welds = read(row(10, 1), row(2, 10), row(2, 9))
    assert [weld.number for weld in welds] == ["2", "10"]
    assert [strip.number for strip in welds[0].strips] == ["9", "10"]


def test_no_rows_are_no_welds() -> None:
    """A header alone, or an empty list, is the start of a morning."""
    assert read() == welds_from_rows([], name="page") == ()


def test_path_bytes_and_text_are_one(tmp_path: Path) -> None:
    """A file, its bytes and its text give the same welds."""
    text = f"{HEADER}\n1,860,10,72,80,1,full,none,1.5,x\n"
    path = tmp_path / "a.csv"
    path.write_text(text)
    assert read_welds(path) == read_welds(text.encode()) == read_welds(text) != ()


def test_errors_call_the_file_as_it_was_given(tmp_path: Path) -> None:
    """The path as given, the name if there is one, a dash for bare text."""
    path = tmp_path / "none.csv"
    for source, name, called in ((path, None, str(path)), (path, "b", "b"), ("x", None, "-")):
        with pytest.raises(FileUnreadable) as caught:
            read_welds(source, name=name)
        assert caught.value.data["file"] == called


@pytest.mark.parametrize(
    ("cells", "code", "data"),
    [
        ({"weld": ""}, "blank_cell", {"column": "weld"}),
        ({"strip": None}, "blank_cell", {"column": "strip"}),
        ({"pull": " "}, "blank_cell", {"column": "pull"}),
        ({"air_f": ""}, "blank_cell", {"column": "air_f"}),
        ({"speed_ft_min": ""}, "blank_cell", {"column": "speed_ft_min"}),
        ({"ambient_f": None}, "blank_cell", {"column": "ambient_f"}),
        ({"air_f": "hot"}, "not_a_number", {"column": "air_f", "value": "hot"}),
        ({"air_f": "860 F"}, "not_a_number", {"value": "860 F"}),
        ({"air_f": "1_000"}, "not_a_number", {"value": "1_000"}),
        ({"air_f": "nan"}, "not_a_number", {"value": "nan"}),
        ({"air_f": float("inf")}, "not_a_number", {"value": "inf"}),
        ({"air_f": "1e999"}, "not_a_number", {"value": "1e999"}),
        ({"air_f": "8,6,0"}, "not_a_number", {"value": "8,6,0"}),
        ({"weld": "9" * 61}, "cell_too_long", {"column": "weld", "limit": 60}),
        ({"air_f": 2000}, "out_of_limits", {"low": "32", "high": "1292 °F"}),
        ({"air_f": -300}, "out_of_limits", {"value": "-300"}),
        ({"speed_ft_min": 0}, "out_of_limits", {"column": "speed_ft_min", "value": "0"}),
        ({"speed_ft_min": 70}, "out_of_limits", {"high": "65.62 ft/min"}),
        ({"sheet_f": 300}, "out_of_limits", {"high": "248 °F"}),
        ({"volts": 0}, "out_of_limits", {"low": "1", "high": "600"}),
        ({"volts": 660}, "out_of_limits", {"column": "volts"}),
        ({"band_in": -1}, "out_of_limits", {"low": "0"}),
        ({"band_in": 200}, "out_of_limits", {"column": "band_in"}),
        ({"band_in": 40}, "unit_slip", {"other": "band_mm", "other_unit": "mm"}),
        ({"air_f": 20}, "unit_slip", {"other": "air_c", "other_unit": "°C"}),
        ({"pull": "tore"}, "unknown_word", {"column": "pull"}),
        ({"pull": "parital"}, "misspelt_word", {"nearest": "partial"}),
        ({"pull": "complet"}, "misspelt_word", {"nearest": "completa"}),
        ({"overheat": "yes"}, "unknown_word", {"choices": "none, signs"}),
        ({"overheat": "sign"}, "misspelt_word", {"nearest": "signs"}),
    ],
)
def test_a_cell_that_is_refused(
    cells: dict[str, object], code: str, data: dict[str, object]
) -> None:
    """Each cell that cannot be understood is named with its row, column, value and limit."""
    error = refused(ROW | cells)
    assert error.code == code
    assert ({"row": 1} | data).items() <= error.data.items()


def test_the_words_that_would_do_are_listed_in_both_languages() -> None:
    """An unknown grade is answered with the list of grades."""
    error = refused(ROW | {"pull": "?"})
    assert error.data["choices"] == "cold, skin, partial, full, break, split, invalid"
    assert error.data["choices_es"].startswith("fría, falsa, parcial, completa")


@pytest.mark.parametrize(
    ("given", "column", "value", "other"),
    [
        ("air_f", "air_c", 850, "air_f"),
        ("ambient_f", "ambient_c", 72, "ambient_f"),
        ("speed_ft_min", "speed_m_min", 25, "speed_ft_min"),
        ("sheet_f", "sheet_c", 130, "sheet_f"),
    ],
)
def test_a_slip_of_units_is_seen(given: str, column: str, value: float, other: str) -> None:
    """A value that is impossible in C or m/min but plain in F or ft/min gets that hint."""
    row = {name: cell for name, cell in ROW.items() if name != given}
    error = refused(row | {column: value})
    assert (error.code, error.data["value"], error.data["other"]) == (
        "unit_slip",
        str(value),
        other,
    )


def test_rows_of_csv_are_counted_as_a_spreadsheet_shows_them() -> None:
    """The header is row 1."""
    with pytest.raises(FileUnreadable) as caught:
        read("1,860,10,72,80,1,full,none,,", "1,860,10,72,80,2,ful,none,,")
    assert (caught.value.code, caught.value.data["row"]) == ("misspelt_word", 3)


def test_one_weld_with_two_settings() -> None:
    """A weld number used twice names both rows and both values."""
    with pytest.raises(FileUnreadable) as caught:
        read("1,860,10,72,80,1,full,none,,", "1,,,,,2,full,none,,", "1,900,10,72,80,3,full,none,,")
    assert caught.value.code == "two_settings"
    data = {"row": 4, "value": "900", "first_row": 2, "first_value": "860", "weld": "1"}
    assert (data | {"column": "air_f"}).items() <= caught.value.data.items()


def test_a_strip_entered_twice() -> None:
    """A strip that stands twice would count twice."""
    error = refused(ROW, ROW | {"weld": "2"}, ROW | {"weld": "01", "strip": "1.0"})
    assert error.code == "strip_twice"
    assert {"row": 3, "weld": "1", "value": "1.0", "first_row": 1}.items() <= error.data.items()


def test_more_strips_than_a_weld_has() -> None:
    """Ten strips of one weld are read, the eleventh is refused."""
    rows = [ROW | {"strip": number} for number in range(1, 12)]
    (weld,) = welds_from_rows(rows[:10], name="page")
    assert len(weld.strips) == 10
    error = refused(*rows)
    assert (error.code, error.data["row"], error.data["limit"]) == ("too_many_strips", 11, 10)


def test_more_rows_than_are_read() -> None:
    """A file stops at the limit with an answer."""
    rows = [f"{number},860,10,72,80,1,full,none,," for number in range(MOST_ROWS + 1)]
    assert len(read(*rows[:-1])) == MOST_ROWS
    with pytest.raises(FileUnreadable) as caught:
        read(*rows)
    assert (caught.value.code, caught.value.data["row"]) == ("too_many_rows", MOST_ROWS + 2)


def test_files_and_parsed_rows_share_their_checks() -> None:
    """The page gets the error that a file gets, but for the count of rows."""
    row = ROW | {"sheet_f": "900"}
    error = refused(row)
    with pytest.raises(FileUnreadable) as caught:
        read(",".join(row.values()), header=",".join(row))
    assert caught.value.code == error.code == "out_of_limits"
    assert caught.value.data == error.data | {"file": "a.csv", "row": 2}


def test_the_morning_example() -> None:
    """The bundled morning is marked as invented, looks at heat everywhere, and has two sides."""
    welds = read_welds(EXAMPLES / "morning.csv")
    assert welds[0].strips[0].note == "invented example"
    assert all(strip.overheat for weld in welds for strip in weld.strips)
    assert all(len(weld.strips) == 3 for weld in welds)
    coldest = min(welds, key=lambda weld: weld.air)
    hottest = max(welds, key=lambda weld: weld.air)
    assert coldest.bond_counts[1] > 0
    assert hottest.heat_counts[1] > 0
    assert sum(weld.is_clean for weld in welds) >= 3


def test_the_messy_example() -> None:
    """A file with mark, semicolons, decimal commas, Spanish words and blanks is read in full."""
    content = (EXAMPLES / "manana.csv").read_bytes()
    assert content.startswith(b"\xef\xbb\xbf")
    assert b"\r\n" in content
    welds = read_welds(content)
    assert [weld.number for weld in welds] == ["1", "2", "3", "4", "5"]
    assert welds[0].strips[0].note.startswith("ejemplo inventado")
    assert (welds[0].air, welds[0].speed, welds[0].volts) == pytest.approx(
        (643.15, 0.0508333, 228.5)
    )
    assert [strip.pull for strip in welds[2].strips] == ["full", "full", "invalid", "full"]
    assert welds[1].heat_counts == (1, 2)
