"""A document as figures for the template: every text printable, every row on a page."""

from __future__ import annotations

import io
import re

import pypdf
import pytest

from lapwright.report.paper.blocks import (
    Document,
    Grid,
    Pairs,
    Picture,
    Section,
    Shot,
    Shots,
    Signature,
    Words,
)
from lapwright.report.paper.columns import laid
from lapwright.report.paper.paper import pdf_of
from lapwright.report.paper.setting import Files, blocks_of, set_document, text_width

BLOCKS = (
    Words("One."), Pairs((("a", "b"),)), Grid(("h",), (("c",),), caption="cap"),
    Picture("<svg/>", alt="alt"), Shots((Shot("ab" * 32, alt="of"),)),
    Signature((("line", ""),), is_open=True),
)  # fmt: skip
FILES = Files(500, {"<svg/>": "picture-0.svg"}, {}, {"ab" * 32: "not here"})


def document(*blocks: object, paper: str = "letter", language: str = "en") -> Document:
    """One part with these blocks, and one below it."""
    below = Section("Below", (Words("Deep."),))
    parts = (Section("First", blocks, (below,)),)  # type: ignore[arg-type]
    return Document("T", (), "r", language, "2026-05-08T13:38:00-05:00", parts, paper=paper)  # type: ignore[arg-type]


def pages_of(*blocks: object) -> list[str]:
    """Words of each page as an outside reader finds them."""
    content = pdf_of(document(*blocks), photos={})
    return [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(content)).pages]


def test_every_block_is_found_in_order() -> None:
    """Those of parts below a part come behind its own."""
    found = list(blocks_of(document(*BLOCKS)))
    assert found == [*BLOCKS, Words("Deep.")]


def test_every_kind_of_block_is_told_to_the_template() -> None:
    """Under its name, which the template looks up."""
    told = set_document(document(*BLOCKS), FILES)
    assert [one["kind"] for one in told["sections"][0]["blocks"]] == [
        "Words", "Pairs", "Grid", "Picture", "Shots", "Signature",
    ]  # fmt: skip


def test_a_line_without_a_value_is_left_open() -> None:
    """And it is no row of the form."""
    told = set_document(document(BLOCKS[5]), FILES)["sections"][0]["blocks"][0]
    assert told["lines"] == ["line"]
    assert told["rows"] == []


def test_a_missing_photo_says_why() -> None:
    """In place of the picture."""
    shot = set_document(document(BLOCKS[4]), FILES)["sections"][0]["blocks"][0]["shots"][0]
    assert (shot["file"], shot["why"]) == (None, "not here")


@pytest.mark.parametrize(("paper", "width"), [("letter", 8.5 * 72), ("a4", 210 / 25.4 * 72)])
def test_the_page_is_the_sheet_that_it_is_printed_on(paper: str, width: float) -> None:
    """Letter as in ANSI/ASME Y14.1, A4 as in ISO 216, less two margins of 54 pt."""
    assert text_width(document(paper=paper)) == pytest.approx(width - 108, abs=0.01)
    content = pdf_of(document(Words("x"), paper=paper), photos={})
    assert float(pypdf.PdfReader(io.BytesIO(content)).pages[0].mediabox.width) == pytest.approx(
        width, abs=0.1
    )


@pytest.mark.parametrize(
    ("days", "lines", "deep"), [(1, 1, 0), (20, 40, 2), (75, 40, 2), (76, 40, 1)]
)
def test_contents_stand_before_a_long_paper_and_stay_short(
    days: int, lines: int, deep: int
) -> None:
    """None for a few pages; of 152 headings only the main ones."""
    day = Section("Day", (Words("x"),) * lines, (Section("Machine", (Words("x"),)),))
    paper = Document("T", (), "r", "en", "2026-05-08T13:38:00-05:00", (day,) * days)
    assert set_document(paper, FILES)["contents"] == deep


def test_what_cannot_be_printed_is_numbered() -> None:
    """Signs that turn the order of letters, private ones, controls, and what has no glyph."""
    (page,) = pages_of(Words("a\u202eb\u2066c \ue000 d\x07e \N{FIRE} \ufeff."))
    assert "a[U+202E]b[U+2066]c [U+E000] d[U+0007]e [U+1F525] [U+FEFF]." in page


@pytest.mark.parametrize("length", [2000, 20_000])
def test_the_longest_text_is_set_whole(length: int) -> None:
    """In a paragraph, a form and a cell: no letter is lost, on however many pages."""
    text = "".join(chr(97 + n % 26) for n in range(length))
    pages = pages_of(Words(text), Pairs((("n", text),)), Grid(("h", "k"), ((text, "v"),)))
    joined = re.sub(r"\s", "", "".join(pages))
    assert len(re.findall("abcdefghijklmnopqrstuvwxyz", joined)) >= 3 * (length // 26) - 12


def test_a_word_cut_here_leaves_no_mark_in_a_figure_there() -> None:
    """Who searches the file for 850 finds it, wherever a hash was cut behind an 8."""
    text = "".join(pages_of(Grid(("h", "k"), (("8" * 300, "850"),)), Words("9" * 300 + " 950")))
    assert "\u200b" not in text
    assert "850" in text
    assert "950" in text


def test_a_row_is_set_in_the_lines_that_it_was_told() -> None:
    """The typesetter ends no line of its own in a row whose height is fixed."""
    words = "a probe of Luz, 2026-05-04 09:51 −05:00; “no” → 850 °F ± 3 Wj "
    rows = tuple((words * n, "x" * 40, words[n:] * 2, "W" * 60) for n in range(1, 8))
    table = laid(Grid(("a", "b", "c", "d"), rows), width=text_width(document()))
    assert all(table.lines)
    printed = "".join(pages_of(Grid(("a", "b", "c", "d"), rows))).splitlines()
    for line in {line for row in table.rows for cell in row for line in cell.split("\n")}:
        assert line.strip() in [one.strip() for one in printed]


def test_a_table_over_many_pages_repeats_its_head_and_loses_no_row() -> None:
    """The head once on each page; every row once."""
    rows = tuple((f"row-{n:04}", "x" * (n % 90)) for n in range(300))
    pages = pages_of(Grid(("name of row", "rest"), rows))
    assert len(pages) > 3
    assert all(page.count("name of row") == 1 for page in pages[:-1])
    assert re.findall(r"row-\d{4}", "".join(pages)) == [row[0] for row in rows]


def test_a_row_that_fits_a_page_is_not_torn_apart() -> None:
    """Its first and its last word stand on one page."""
    rows = tuple((f"first{n:03}", " ".join(["mid"] * 40) + f" last{n:03}") for n in range(60))
    for page in pages_of(
        Grid(("a", "b", "c", "d"), tuple((*row, "x" * 20, "y" * 30) for row in rows))
    ):
        assert re.findall(r"first(\d{3})", page) == re.findall(r"last(\d{3})", page)


def test_a_unit_is_not_torn_apart() -> None:
    """Whatever the width of the column, ``ft/min`` stays on its line."""
    rows = tuple((f"{'m' * n} 890 °F, 10\u00a0ft/min", "z" * 60, "w" * 50) for n in range(1, 14))
    text = "".join(pages_of(Grid(("set", "b", "c"), rows)))
    assert text.count("10\u00a0ft/min") + text.count("10 ft/min") == len(rows)


@pytest.mark.parametrize("small", range(4))
def test_small_print_is_not_left_alone_on_a_page(small: int) -> None:
    """It stands on the page on which the table below it begins, wherever on the page that is."""
    grid = Grid(("head of table",), tuple((f"r{n}",) for n in range(30)))
    how = Words("how to read", tone="small")
    for lines in range(26, 36):
        above = [*[Words("line.")] * lines, *[Words("fine.", tone="small")] * small]
        page = next(one for one in pages_of(*above, how, grid) if "how to read" in one)
        assert "head of table" in page
