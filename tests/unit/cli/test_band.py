"""The command ``band``: photos in, a proposal out."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from PIL import Image
from tests.stripphoto import Shot, photo

from lapwright.cli import main


@pytest.fixture(scope="module")
def strip(tmp_path_factory: pytest.TempPathFactory) -> str:
    """A photo of a strip with 40 mm of scrim."""
    file = tmp_path_factory.mktemp("photos") / "strip.jpg"
    file.write_bytes(photo(Shot(pixels=(1632, 1224), band=40.0)))
    return str(file)


def run(*args: str) -> Result:
    """The command."""
    return CliRunner().invoke(main, ["band", *args])


def test_width_is_proposed_and_the_person_decides(strip: str) -> None:
    """Width with its error; the last line leaves the decision with the person."""
    result = run(strip, "--check-in", "4")
    assert result.exit_code == 0
    first, even, _, last = result.output.splitlines()
    assert " in ± 0.0" in first
    assert "full: unbroken" in even
    assert last == "You decide: look at the strip. The photo grades nothing."


def test_unmeasured_card_is_a_caution(strip: str) -> None:
    """Nobody said what the check line measures."""
    assert "! Counts only if 0 to 100 mm" in run(strip).output


def test_spanish_and_metric(strip: str) -> None:
    """Millimetres with a comma, and Spanish words."""
    output = run(strip, "--units", "metric", "--lang", "es", "--check-mm", "100").output
    assert " mm ± " in output
    assert "," in output.splitlines()[0]
    assert "Usted decide" in output


def test_json_says_the_same_and_no_grade(strip: str) -> None:
    """One object per photo; widths, errors, share, evenness, and nothing that grades."""
    metric = json.loads(run(strip, "--json", "--units", "metric", "--check-mm", "99.8").output)
    assert metric["median_mm"] == pytest.approx(40, abs=1.5)
    assert metric["smallest_mm"] <= metric["median_mm"] <= metric["largest_mm"]
    assert (metric["share_percent"], metric["evenness"], metric["markers"]) == (100, "full", 8)
    assert not {"grade", "verdict", "sound"} & set(metric)
    inches = json.loads(run(strip, "--json", "--check-mm", "99.8").output)
    assert inches["median_in"] == pytest.approx(metric["median_mm"] / 25.4, abs=0.006)
    assert inches["median_error_in"] * 25.4 >= metric["median_error_mm"] - 0.1


def test_cold_strip_has_no_error(tmp_path: Path) -> None:
    """No band: no width to be off by, and a caution that a photo can miss one."""
    file = tmp_path / "cold.jpg"
    file.write_bytes(photo(Shot(pixels=(1632, 1224), band=0.0)))
    told = json.loads(run(str(file), "--json").output)
    assert (told["evenness"], told["median_error_in"]) == (None, None)
    assert "band_none" in {caution["code"] for caution in told["cautions"]}
    assert "no scrim band seen" in run(str(file), "--out", str(tmp_path / "cold.png")).output


def test_picture_shows_what_was_measured(strip: str, tmp_path: Path) -> None:
    """--out draws the strip with its ends; one photo at a time, as .png or .jpg."""
    out = tmp_path / "measured.png"
    assert run(strip, "--out", str(out)).exit_code == 0
    with Image.open(out) as picture:
        assert picture.width == 1200
    assert run(strip, strip, "--out", str(out)).exit_code == 2
    assert run(strip, "--out", str(tmp_path / "measured.txt")).exit_code == 2
    assert run(strip, "--out", str(tmp_path / "none" / "a.png")).exit_code == 2


def test_refusals_are_one_sentence(tmp_path: Path, strip: str) -> None:
    """A photo that is none, a card printed to fit the page, the line measured twice."""
    text = tmp_path / "a.jpg"
    text.write_text("no photo")
    assert "no photo that can be read" in run(str(text)).output
    shrunk = run(strip, "--check-mm", "97")
    assert (shrunk.exit_code, "97.0 %" in shrunk.output) == (2, True)
    assert run(strip, "--check-mm", "100", "--check-in", "4").exit_code == 2


def test_without_the_extra_it_says_what_to_install(
    strip: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """OpenCV is not installed: one sentence with the command."""
    monkeypatch.setitem(sys.modules, "cv2", None)
    result = run(strip)
    assert result.exit_code == 2
    assert "pip install 'lapwright[photo]'" in result.output
