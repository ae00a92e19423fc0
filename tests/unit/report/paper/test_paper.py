"""A document as a PDF: its form is read back by outside readers, its words by another."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from typing import Any

import pikepdf
import pypdf
import pytest

from lapwright.errors import LapwrightError
from lapwright.report.paper.blocks import (
    Document,
    Grid,
    Listed,
    Pairs,
    Picture,
    Section,
    Shot,
    Shots,
    Signature,
    Words,
)
from lapwright.report.paper.paper import Attachment, pdf_of

SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="40" height="20"><text y="9">x</text></svg>'
HOSTILE = (
    "#set text(red)", "$x$ *bold* _it_ `raw`", "@label <tag> // not", "back\\slash \"q\" 'p'",
    "≥ 850 °F − ½ × ñ", "W" * 300,
)  # fmt: skip


def document(*blocks: Any) -> Document:
    """A short document of these blocks."""
    return Document(
        title="Close-out record",
        lines=("Invented roof",),
        running="invented",
        language="es",
        made_at="2026-05-08T13:38:00-05:00",
        sections=(Section("First", blocks, (Section("Below", (Words("Deep."),)),)),),
        mark="INVENTED EXAMPLE",
    )


@pytest.fixture(scope="module")
def pdf() -> bytes:
    """A document with every kind of block, and a file inside."""
    blocks = (
        Words("Nothing here is real."),
        Words("Mind the edge.", tone="caution"),
        Pairs((("job", "Invented"),)),
        Grid(
            ("seam", "length"), tuple((f"A-S{n:03}", f"{n} ft") for n in range(120)), numbers=(1,)
        ),
        Picture(SVG, alt="A letter"),
        Shots((Shot("ab" * 32, alt="A strip"),)),
        Signature((("signed by", "Ines"),)),
    )
    inside = Attachment("a.json", b"{}", "application/json", "source", "The record")
    return pdf_of(document(*blocks), photos={}, attached=[inside])


def elements(node: pikepdf.Object) -> Iterator[pikepdf.Dictionary]:
    """Every element of the tree of tags."""
    if isinstance(node, pikepdf.Array):
        for one in node:
            yield from elements(one)
    elif isinstance(node, pikepdf.Dictionary):
        if "/S" in node:
            yield node
        if "/K" in node:
            yield from elements(node["/K"])


def test_it_says_to_which_standards_it_was_made(pdf: bytes) -> None:
    """PDF/A-3a (ISO 19005-3, 6.6.4) and PDF/UA-1 (ISO 14289-1, 5) in the metadata; not locked."""
    with pikepdf.open(io.BytesIO(pdf)) as file, file.open_metadata() as said:
        assert (said["pdfaid:part"], said["pdfaid:conformance"]) == ("3", "A")
        assert said["pdfuaid:part"] == "1"
        assert not file.is_encrypted
        assert str(file.Root["/Lang"]) == "es"
        assert file.Root["/MarkInfo"]["/Marked"]
        assert file.Root["/ViewerPreferences"]["/DisplayDocTitle"]
        assert str(file.Root["/OutputIntents"][0]["/S"]) == "/GTS_PDFA1"
        assert [str(one["/UF"]) for one in file.Root["/AF"]] == ["a.json"]


def test_every_font_is_inside(pdf: bytes) -> None:
    """One family, embedded: it looks the same in ten years (ISO 19005-3, 6.2.11.4)."""
    with pikepdf.open(io.BytesIO(pdf)) as file:
        known = [one for one in file.objects if isinstance(one, pikepdf.Dictionary)]
        told = [one for one in known if one.get("/Type") == "/FontDescriptor"]
        assert told
        for font in told:
            assert {"/FontFile2", "/FontFile3"} & set(font.keys())
            assert "DejaVu" in str(font["/FontName"])


def test_who_cannot_see_is_told_everything(pdf: bytes) -> None:
    """Figures have words, head cells a scope, headings their level (ISO 14289-1, 7.3 to 7.5)."""
    with pikepdf.open(io.BytesIO(pdf)) as file:
        found = list(elements(file.Root["/StructTreeRoot"]["/K"]))
        kinds = {str(one["/S"]) for one in found}
        assert {"/H1", "/H2", "/Table", "/TH", "/TD", "/Figure", "/P"} <= kinds
        assert all("/Alt" in one for one in found if one["/S"] == "/Figure")
        heads = [one for one in found if one["/S"] == "/TH"]
        assert len(heads) >= 2
        assert all("/Scope" in str(one.get("/A")) for one in heads)


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_whatever_somebody_typed_comes_out_as_text(text: str) -> None:
    """Marks of the typesetter mean nothing in it, and the longest word stays on the page."""
    blocks = (Words(text), Pairs(((text, text),)), Grid((text,), ((text,),)), Grid(("a",), ()))
    content = pdf_of(document(*blocks), photos={})
    reader = pypdf.PdfReader(io.BytesIO(content))
    said = "".join("".join(page.extract_text().split()) for page in reader.pages)
    assert said.count("".join(text.split())) >= 4


def test_a_photo_that_has_not_come_is_told_in_words(pdf: bytes) -> None:
    """In the language of the document, with the beginning of its hash."""
    pages = pypdf.PdfReader(io.BytesIO(pdf)).pages
    assert "abababababab" in "".join(page.extract_text() for page in pages)


def test_a_drawing_that_is_none_is_named() -> None:
    """The refusal says which."""
    broken = document(Picture("<svg", alt="The seam map"))
    with pytest.raises(LapwrightError, match="paper_picture") as refused:
        pdf_of(broken, photos={})
    assert refused.value.data["picture"] == "The seam map"


def test_a_listed_table_lies_inside_as_csv() -> None:
    """Each row with commas and quotes; no cell is a formula; the page says where it is."""
    rows = (("A-S001", 'a "wide" void, patched'), ("=1+1", "ñ"))
    listed = Listed(
        "Two rows, in defects.csv.", Grid(("seam", "what"), rows, caption="All"), "d.csv"
    )
    content = pdf_of(document(listed), photos={})
    assert (
        "Two rows, in defects.csv." in pypdf.PdfReader(io.BytesIO(content)).pages[0].extract_text()
    )
    with pikepdf.open(io.BytesIO(content)) as pdf:
        inside = pdf.attachments["d.csv"]
        text = inside.get_file().read_bytes().decode()
        assert (inside.get_file().mime_type, inside.description) == ("text/csv", "All")
    assert list(csv.reader(text.splitlines())) == [
        ["seam", "what"], list(rows[0]), ["'=1+1", "ñ"],
    ]  # fmt: skip
