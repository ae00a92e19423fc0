"""The command ``scale-card``: a page to print, on the paper of the reader."""

from __future__ import annotations

from pathlib import Path

import pypdf
import pytest
from click.testing import CliRunner

from lapwright.cli import main


@pytest.mark.parametrize(
    ("options", "size", "words"),
    [
        ((), (612, 792), ("Scale card", "card no. 7", "never")),
        (("--units", "metric", "--lang", "es"), (595, 842), ("Tarjeta de escala", "tarjeta n.º 7")),
    ],
)
def test_card_is_printed_to_size(
    tmp_path: Path, options: tuple[str, ...], size: tuple[int, int], words: tuple[str, ...]
) -> None:
    """Letter for US units, A4 for metric; words in the language asked for."""
    file = tmp_path / "card.pdf"
    result = CliRunner().invoke(main, ["scale-card", str(file), "--number", "7", *options])
    assert (result.exit_code, result.output) == (0, "")
    (page,) = pypdf.PdfReader(file).pages
    assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(size, abs=1)
    text = page.extract_text().replace("\n", " ")
    assert [word for word in words if word not in text] == []


def test_other_ends_are_refused(tmp_path: Path) -> None:
    """A card that cannot be printed is not made."""
    result = CliRunner().invoke(main, ["scale-card", str(tmp_path / "card.txt")])
    assert result.exit_code == 2
    assert ".pdf" in result.output
