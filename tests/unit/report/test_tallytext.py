"""The crew's counts in words and figures."""

from __future__ import annotations

import json
from typing import Any

import pytest

from lapwright.job.tally import Day, tally
from lapwright.report.figures import Reader
from lapwright.report.tallyfigures import tally_figures
from lapwright.report.tallytext import tally_text
from lapwright.words import LANGUAGES

DAYS = [
    Day(f"d{k}", "Ana" if k % 2 else "Ben", "W1", 3 if k < 8 else 12, 304.8, int(k == 5), 6)
    for k in range(12)
]
COUNTED = tally(DAYS, base=8, compare=("Ana", "Ben"))


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("units", ["us", "metric"])
def test_every_reader_gets_every_word(language: Any, units: Any) -> None:
    """No sentence lacks a value, in either language and either system."""
    text = tally_text(COUNTED, Reader(language, units)).plain
    assert "?" not in text
    assert "{" not in text


def test_bad_days_are_named_and_what_to_do() -> None:
    """The days out of limits and the day the warning began stand in plain words."""
    text = tally_text(COUNTED, Reader()).plain
    assert "Out of its limits on d8" in text
    assert "Early warning from d8" in text
    assert "alarms for nothing about once in" in text


def test_two_people_are_never_ranked() -> None:
    """Alike, they cannot be told apart, and the sentence says so with its span."""
    pairs = tally_text(COUNTED, Reader()).plain.splitlines()
    lines = [line for line in pairs if line.startswith("Ana against Ben")]
    assert len(lines) == 2
    assert all("Cannot tell" in line for line in lines)


def test_open_ratios_are_words() -> None:
    """A ratio without upper end is told as any number, and is null in the JSON."""
    days = [Day("1", "Ana", "", 4, 300.0, 0, 0), Day("2", "Ben", "", 0, 300.0, 0, 0)]
    counted = tally(days, compare=("Ana", "Ben"))
    assert "any number of" in tally_text(counted, Reader()).plain
    (pair,) = tally_figures(counted, Reader())["pairs"]
    assert pair["high"] is None


def test_json_is_plain_and_per_length() -> None:
    """Voids per 1,000 ft or 100 m; states and warning as codes; no infinity, no NaN."""
    figures = json.loads(json.dumps(tally_figures(COUNTED, Reader()), allow_nan=False))
    voids = figures["charts"][0]
    assert (voids["counts"], voids["per"], voids["centre"]) == ("voids", "1000 ft", 3.0)
    assert voids["days"][0]["of"] == 1000.0
    assert voids["early_warning"] == "d8"
    assert voids["days"][-1]["state"] == "out"
    metric = tally_figures(COUNTED, Reader(units="metric"))["charts"][0]
    assert metric["per"] == "100 m"
    assert metric["centre"] == pytest.approx(0.9843, abs=1e-4)
