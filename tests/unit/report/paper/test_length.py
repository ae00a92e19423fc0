"""About how many pages: near enough to know whether a document begins with its contents."""

from __future__ import annotations

import io

import pypdf
import pytest

from lapwright.report.paper.blocks import Block, Document, Grid, Section, Signature, Words
from lapwright.report.paper.length import pages_about
from lapwright.report.paper.paper import pdf_of

TEXT = "Every foot has a valid test weld behind it, was probed, and nothing on it is open. " * 4
CASES: dict[str, tuple[Block, ...]] = {
    "words": (Words(TEXT),) * 60,
    "table": (Grid(("a", "b"), tuple((str(n), "x") for n in range(700))),),
    "signatures": (Signature((("signed by", "Rosa"), ("at", "now"), ("hash", "f" * 64))),) * 40,
}


@pytest.mark.parametrize("case", CASES)
def test_the_guess_is_right_to_a_third_or_so(case: str) -> None:
    """Against the pages that were set."""
    document = Document(
        "T", (), "r", "en", "2026-05-08T13:38:00-05:00", (Section("S", CASES[case]),)
    )
    pages = len(pypdf.PdfReader(io.BytesIO(pdf_of(document, photos={}))).pages)
    assert pages_about(document) == pytest.approx(pages, rel=0.4)


def test_more_says_more() -> None:
    """A block more is never a page less."""
    counts = [pages_about(Document("T", (), "r", "en", "", (Section("S", (Words(TEXT),) * n),)))
              for n in range(9)]  # fmt: skip
    assert counts == sorted(set(counts))
