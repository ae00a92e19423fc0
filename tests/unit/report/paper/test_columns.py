"""Tables before they are set: they fill the page, words fit, rows take the lines they are told."""

from __future__ import annotations

import json
import re
from itertools import pairwise

import pytest
import typst
from hypothesis import given
from hypothesis import strategies as st

from lapwright.report.paper.blocks import Grid
from lapwright.report.paper.columns import SIZES, broken, cuttable, laid, shared_out
from lapwright.report.paper.face import FAMILY, FONTS, width_of

CUT = "\u200b"
CELL = st.text("aW i.\u00e9\u6f22\u05e9-/", max_size=60)
ROWS = st.integers(1, 5).flatmap(lambda n: st.lists(st.tuples(*[CELL] * n), min_size=1, max_size=6))


@given(ROWS)
def test_a_table_fills_the_width_and_never_more(rows: list[tuple[str, ...]]) -> None:
    """Columns and gaps come to the width of the text."""
    layout = laid(Grid(tuple("abcde"[: len(rows[0])]), tuple(rows)), width=504)
    total = sum(layout.widths) + layout.gap * (len(layout.widths) - 1)
    assert total <= 504 + 0.05
    assert layout.size in SIZES


@given(ROWS)
def test_cutting_changes_no_letter(rows: list[tuple[str, ...]]) -> None:
    """Every cell is what it was, in its place; a line ends for a space or within a long word."""
    layout = laid(Grid(tuple("abcde"[: len(rows[0])]), tuple(rows)), width=300)
    for before, after in zip(rows, layout.rows, strict=True):
        assert [re.sub(r"\s", "", cell) for cell in before] == [
            re.sub(f"[\\s{CUT}]", "", cell) for cell in after
        ]


@given(ROWS)
def test_a_row_fits_the_lines_that_it_is_told(rows: list[tuple[str, ...]]) -> None:
    """By the typeface's own widths; of a text only the typesetter can measure nothing is told."""
    layout = laid(Grid(tuple("abcde"[: len(rows[0])]), tuple(rows)), width=400)
    for row, told in zip(layout.rows, layout.lines, strict=True):
        lines = [cell.split("\n") for cell in row]
        assert told in (0, max(map(len, lines)))
        fits = all(width_of(line) * layout.size <= width
                   for cell, width in zip(lines, layout.widths, strict=True)
                   for line in cell)  # fmt: skip
        assert fits or not told


def test_letters_grow_smaller_before_words_are_cut() -> None:
    """Nine columns of long words take the smaller size, two of short ones the large."""
    long = tuple("incomparable" for _ in range(9))
    assert laid(Grid(long, (long,)), width=504).size < laid(Grid(("a", "b"), ()), width=504).size


def test_a_word_wider_than_its_column_is_cut_and_others_are_not() -> None:
    """In pieces of at most four letters."""
    text = cuttable("short " + "W" * 40, width=10)
    assert text.startswith("short ")
    assert all(len(piece) <= 4 for piece in text.split(" ")[1].split(CUT))
    assert cuttable("short words only", width=10) == "short words only"


def test_what_is_left_over_goes_to_the_wide_columns() -> None:
    """The last one unless said; numbers keep to their width."""
    rows = (("a", "b", "1"),)
    first = laid(Grid(("x", "y", "n"), rows, numbers=(2,), wide=(0,)), width=504).widths
    second = laid(Grid(("x", "y", "n"), rows, numbers=(2,), wide=(1,)), width=504).widths
    assert first[0] > 400 < second[1]
    assert first[2] == pytest.approx(second[2])


def test_the_greedy_are_held_to_one_level() -> None:
    """Nobody gets less than they need, nor more than they want; all of the width is given."""
    given_ = shared_out([40, 300, 500], [30, 60, 280], width=420)
    assert sum(given_) == pytest.approx(420)
    assert given_[0] == pytest.approx(40)
    assert given_[2] >= 280
    assert given_[1] == pytest.approx(100)


def test_a_row_is_as_tall_as_its_tallest_cell() -> None:
    """A line break counts; and a row that might not fit one page is told no height."""
    rows = (("x\ny", "x"), ("x", "y"), ("שלום", "y"), ("x\n" * 29, "y"), ("x\n" * 30, "y"))
    assert laid(Grid(("a", "b"), rows), width=500).lines == (2, 1, 0, 30, 0)


def test_a_line_ends_between_words() -> None:
    """As full as it can be; the space goes, as it does where the typesetter ends a line."""
    text = "one two three four five six seven eight nine ten " * 3
    lines = broken(text, width=12)
    assert " ".join(lines) == text
    assert broken("to 850 °F", width=4) == ("to", "850 °F")
    for line, after in pairwise(lines):
        assert width_of(f"{line} {after.split(' ')[0]}") * 1.02 > 12


@pytest.mark.parametrize("text", ["0–400 ft", "“no” → yes", "P ≥ 0.90 ± 2 °F", "−3 … 5 · ½ m²"])
def test_what_our_tables_print_is_measured_as_the_typesetter_measures_it(text: str) -> None:
    """Dashes and signs too: a long table of them needs no measuring. Kerning may take a hair."""
    source = f"""#set text(font: "{FAMILY}", size: 100pt, hyphenate: false)
    #context [#metadata(measure([{text}]).width.pt()) <width>]"""
    faces = typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=False, font_paths=[FONTS]
    )
    (found,) = json.loads(typst.query(source.encode(), "<width>", field="value", font_paths=faces))
    assert width_of(text) * 100 == pytest.approx(found, rel=0.02)
