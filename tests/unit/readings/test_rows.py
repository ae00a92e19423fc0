"""CSV and JSON to rows: separators, quotes, line ends, blank rows, row numbers."""

import pytest

from lapwright.errors import FileUnreadable
from lapwright.readings.columns import HEADER
from lapwright.readings.rows import Row, rows_of_objects, rows_of_text
from lapwright.words import LANGUAGES, say_error

ONE = "1,860,10,72,80,1,full,none"


def rows(text: str) -> list[Row]:
    """All rows of a text."""
    return list(rows_of_text(text, file="a.csv"))


def refused(text: str, *, file: str = "a.csv") -> FileUnreadable:
    """The error that a text gives."""
    with pytest.raises(FileUnreadable) as caught:
        list(rows_of_text(text, file=file))
    for language in LANGUAGES:  # whatever is refused is said in a sentence
        assert say_error(caught.value.code, caught.value.data, language=language).startswith(file)
    return caught.value


@pytest.mark.parametrize("mark", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_separators_and_line_ends(mark: str, end: str) -> None:
    """Comma, semicolon and tab with the line ends of every system give the same cells."""
    text = f"{HEADER}\n{ONE}\n".replace(",", mark).replace("\n", end)
    (row,) = rows(text)
    assert row.cells == dict(zip(HEADER.split(","), ONE.split(","), strict=True))
    assert row.decimal_comma == (mark != ",")


@pytest.mark.parametrize("first", ["sep=;\r\n", "SEP=;\n", '"sep=;"\n'])
def test_a_separator_line_is_obeyed_and_not_counted(first: str) -> None:
    """Spreadsheets hide the line that names the separator, so row 2 stays row 2."""
    (row,) = rows(first + f"{HEADER}\n{ONE}".replace(",", ";"))
    assert (row.number, row.cells["air_f"]) == (2, "860")


def test_a_note_may_hold_anything() -> None:
    """Separators, quotes and line ends in a quoted note shift neither cells nor rows."""
    text = f'{HEADER},note\n{ONE},"gap 1/2"" wide, ""ok"";\nsecond line"\n{ONE},1/2" gap\n'
    first, second = rows(text)
    assert first.cells["note"] == 'gap 1/2" wide, "ok";\nsecond line'
    assert (second.number, second.cells["note"]) == (3, '1/2" gap')


def test_blank_rows_are_passed_over_and_counted() -> None:
    """Blank lines and rows of empty cells are no strips, and later rows keep their number."""
    text = f"\n,,\n{HEADER}\n\n{ONE}\n,,,,,,,\n  \n{ONE}\n,,,,,,,,,,\n\n"
    assert [row.number for row in rows(text)] == [5, 8]


def test_empty_columns_at_the_end_are_passed_over() -> None:
    """Spreadsheets write empty columns when a cell there was ever touched."""
    (row,) = rows(f"{HEADER}, ,\n{ONE},,,,\n")
    assert list(row.cells) == HEADER.split(",")


def test_blank_cells_at_the_end_may_be_dropped() -> None:
    """Spreadsheets leave out blank cells at the end of a row; they are blank cells."""
    (row,) = rows(f"{HEADER},band_in,note\n{ONE}\n")
    assert (row.cells["overheat"], row.cells["band_in"], row.cells["note"]) == ("none", "", "")


def test_too_few_cells() -> None:
    """A row that ends before a cell it needs is refused."""
    error = refused(f"{HEADER}\n{ONE}\n1,860,10\n")
    assert (error.code, error.data["row"], error.data["have"]) == ("too_few_cells", 3, 3)
    assert error.data["column"] == "ambient_f"


@pytest.mark.parametrize("header", [HEADER, HEADER + ","])
def test_too_many_cells(header: str) -> None:
    """A value beyond the named columns is never dropped: a decimal comma may have split it."""
    error = refused(f"{header}\n1,860,10,72,26,5,1,full,none\n")
    assert (error.code, error.data["row"]) == ("too_many_cells", 2)
    assert (error.data["value"], error.data["place"]) == ("none", 9)


@pytest.mark.parametrize("line", ['1,"860', '1,"860"0,10'])
def test_broken_quotes(line: str) -> None:
    """A quote that is not closed would swallow the rest of the file; its row is named."""
    error = refused(f"{HEADER}\n{ONE}\n{line}\n{ONE}\n")
    assert (error.code, error.data["row"]) == ("broken_quotes", 3)


@pytest.mark.parametrize("text", ["", " \r\n\n", "sep=;\n", ",,,\n,,\n"])
def test_an_empty_file_is_shown_the_header(text: str) -> None:
    """Nothing at all is answered with what to write first."""
    error = refused(text)
    assert (error.code, error.data["header"]) == ("file_empty", HEADER)


def test_an_empty_json_file() -> None:
    """The same holds for a file that is JSON by its name."""
    assert refused(" ", file="a.json").code == "file_empty"


def test_a_file_without_header() -> None:
    """Rows without a header line are not guessed at."""
    error = refused(f"\n{ONE}\n")
    assert (error.code, error.data["row"], error.data["header"]) == ("no_header", 2, HEADER)


def test_header_only_is_no_row() -> None:
    """A sheet that was prepared and not yet filled in is in order."""
    assert rows(HEADER) == []
    assert rows('{"rows": []}') == []


OBJECT = (
    '{"weld": 1, "air_f": 860, "speed_ft_min": 10.0, "ambient_f": "72", "strip": 1,'
    ' "pull": "full", "overheat": null}'
)


@pytest.mark.parametrize("frame", ["[%s]", ' {"rows": [%s], "by": "crew 2"}'])
def test_json_rows(frame: str) -> None:
    """A list of objects, or one under "rows"; numbers as typed, null is blank."""
    (row,) = rows(frame % OBJECT)
    assert row.number == 1
    assert row.cells["speed_ft_min"] == "10.0"
    assert (row.cells["ambient_f"], row.cells["overheat"]) == ("72", "")


def test_json_objects_may_leave_keys_out() -> None:
    """A key that another row has and this one lacks is a blank cell."""
    first, second = rows(f'[{OBJECT}, {{"weld": 1, "strip": 2, "pull": "full", "note": "x"}}]')
    assert (first.cells["note"], second.cells["air_f"], second.number) == ("", "", 2)


@pytest.mark.parametrize(
    ("text", "code", "place"),
    [
        ("[{]", "bad_json", {"line": 1}),
        ('[\n{"weld": 1,}]', "bad_json", {"line": 2}),
        ('{"weld": 1}', "json_not_rows", {}),
        ('{"rows": {}}', "json_not_rows", {}),
        ('{"rows": [], "rows": []}', "json_not_rows", {}),
        ("[" * 100_000, "json_not_rows", {}),
        (f"[{OBJECT}, 7]", "row_not_object", {"row": 2, "value": '"7"'}),
        (f"[{OBJECT}, null]", "row_not_object", {"row": 2, "value": "null"}),
        (f"[{OBJECT}, []]", "row_not_object", {"row": 2, "value": "[...]"}),
        ('[{"weld": 1, "Weld ": 2}]', "duplicate_column", {"row": 1, "column": "weld"}),
        ('[{"weld": 1, "weld": 1}]', "duplicate_column", {"row": 1, "column": "weld"}),
        ('[{"weld": true}]', "cell_not_simple", {"row": 1, "column": "weld", "value": "true"}),
        ('[{"weld": [1]}]', "cell_not_simple", {"row": 1, "column": "weld", "value": "[...]"}),
        ('[{"note": "\\u0000"}]', "cell_not_simple", {"row": 1, "column": "note"}),
        ('[{"note": "\\ud800"}]', "cell_not_simple", {"row": 1, "column": "note", "value": '"?"'}),
        ('[{"welt": 1}]', "unknown_column", {"row": 1, "column": "welt", "nearest": "weld"}),
        ("[{}]", "column_missing", {"column": "weld"}),
    ],
)
def test_json_that_is_refused(text: str, code: str, place: dict[str, object]) -> None:
    """Each way JSON can be wrong is named with its place."""
    error = refused(text)
    assert error.code == code
    assert place.items() <= error.data.items()


@pytest.mark.parametrize("text", ["null", "7", '"weld"'])
def test_json_by_name(text: str) -> None:
    """What is called .json is read as JSON, whatever it begins with."""
    assert refused(text, file="A.JSON").code == "json_not_rows"


@pytest.mark.parametrize("objects", [None, "weld", {"weld": 1}, 7])
def test_parsed_objects_must_be_a_list(objects: object) -> None:
    """Parsed JSON of the page comes in unchecked and is checked here."""
    with pytest.raises(FileUnreadable) as caught:
        list(rows_of_objects(objects, file="page"))
    assert caught.value.code == "json_not_rows"
