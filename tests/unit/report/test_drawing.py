"""Files of pictures: right form, right font, no network."""

from __future__ import annotations

import json
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.job.morning import Morning
from lapwright.report.charts import window_chart
from lapwright.report.drawing import save
from lapwright.report.figures import Reader
from lapwright.report.panels import Spec


@pytest.fixture(scope="module")
def chart(whole_morning: Morning) -> Spec:
    """A Spanish window chart."""
    picture = whole_morning.picture(points=60, speeds=40)
    return window_chart(whole_morning.answer(), picture, Reader("es", "metric"))


def test_svg_is_well_formed_and_says_the_verdict(chart: Spec, tmp_path: Path) -> None:
    """An SVG holds its words as words, so that they can be searched and read aloud."""
    save(chart, tmp_path / "window.SVG")
    root = ElementTree.parse(tmp_path / "window.SVG").getroot()
    assert chart["title"]["text"][0] in "".join(root.itertext())


def test_png_is_a_png(chart: Spec, tmp_path: Path) -> None:
    """The file begins as the PNG specification (second edition, 5.2) asks."""
    save(chart, tmp_path / "window.png")
    assert (tmp_path / "window.png").read_bytes()[:8] == b"\x89PNG\r\n\x1a\n"


def test_pdf_holds_only_the_font_that_travels_with_the_package(chart: Spec, tmp_path: Path) -> None:
    """Paper looks alike on every machine: no font but the bundled family is in the file."""
    save(chart, tmp_path / "window.pdf")
    content = (tmp_path / "window.pdf").read_bytes()
    assert content.startswith(b"%PDF-")
    fonts = set(re.findall(rb"/FontName\s*/(?:[A-Z]{6}\+)?([A-Za-z-]+)", content))
    assert fonts == {b"DejaVuSans", b"DejaVuSans-Bold"}


def test_page_needs_no_network(chart: Spec, tmp_path: Path) -> None:
    """The page loads nothing from outside and says its language and verdict."""
    save(chart, tmp_path / "window.html")
    page = (tmp_path / "window.html").read_text(encoding="utf-8")
    assert not re.search(r"<script[^>]*\ssrc=", page)
    around = re.sub(r"(<script[^>]*>).*?</script>", "", page, flags=re.DOTALL)
    assert not re.search(r"\b(src|href)=|@import|url\(", around)
    assert '"url"' not in json.dumps(chart)  # the chart carries its rows
    assert '<html lang="es">' in page
    assert f"<title>{chart['title']['text'][0]}" in page


@pytest.mark.parametrize("name", ["window.jpg", "window", "window.pdf.txt"])
def test_unknown_end_is_refused(chart: Spec, tmp_path: Path, name: str) -> None:
    """Another form is refused with those that are known, and no file is left."""
    with pytest.raises(LapwrightError) as caught:
        save(chart, tmp_path / name)
    assert caught.value.code == "chart_suffix"
    assert caught.value.data["known"] == ".svg, .png, .pdf, .html"
    assert not (tmp_path / name).exists()


def test_finished_svg_is_no_page(tmp_path: Path) -> None:
    """A paper card is not offered as a page."""
    with pytest.raises(LapwrightError) as caught:
        save("<svg/>", tmp_path / "card.html")
    assert caught.value.data["known"] == ".svg, .png, .pdf"


def test_place_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    """A folder that is not there is told by name, with the system's reason."""
    path = tmp_path / "nowhere" / "card.svg"
    with pytest.raises(FileUnreadable) as caught:
        save("<svg/>", path)
    assert caught.value.code == "cannot_write"
    assert caught.value.data["file"] == str(path)
