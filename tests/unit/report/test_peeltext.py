"""Pulled strips in words, figures and picture."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import altair
import pytest

import lapwright
from lapwright.job.rules import Clause
from lapwright.proof.peel import weigh
from lapwright.proof.peelset import PeelRule, PeelSet, judge
from lapwright.readings.peel import read_peel
from lapwright.report.figures import Reader
from lapwright.report.peelchart import peel_chart
from lapwright.report.peelfigures import peel_figures
from lapwright.report.peeltext import peel_text, set_text, verdict_text
from lapwright.units import to_si
from lapwright.words import LANGUAGES

EXAMPLE = Path(lapwright.__file__).parent / "examples" / "peel.csv"
CLAUSE = Clause("peel_strength", 6000.0, 300, "N/50 mm", "specification", "3.4", "2026", "QL")


def _set(**more: Any) -> PeelSet:
    peeled = [weigh(trace) for trace in read_peel(EXAMPLE)]
    return judge(peeled, rule=PeelRule(CLAUSE.value, **more), invalid=["3"])


def test_text_gives_verdict_clause_and_a_line_for_each_strip() -> None:
    """The verdict stands first, the clause and who set it second, and no strip is missing."""
    text = peel_text(_set(passing="four_of_five"), CLAUSE, Reader()).plain.splitlines()
    assert text[0].startswith("Pass")
    assert "34.3 lbf/in" in text[1]
    assert "3.4 (edition 2026, set by QL)" in text[1]
    assert [line.split()[0] for line in text[4:10]] == ["1", "2", "3", "4", "5", "6"]
    assert text[6].endswith("invalid")
    assert text[8].endswith("80 % or more")


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("units", ["us", "metric"])
def test_every_reader_gets_every_word(language: Any, units: Any) -> None:
    """No sentence lacks a value, in either language and either system."""
    text = peel_text(_set(), CLAUSE, Reader(language, units)).plain
    assert "?" not in text
    assert "{" not in text


def test_method_is_said_to_be_from_memory() -> None:
    """The standard's method was not read, and whoever cites the figure is told."""
    assert "from memory" in peel_text(_set(), CLAUSE, Reader()).plain


def test_a_lone_strip_has_no_statistics() -> None:
    """One strip says nothing about others, none even less."""
    one = weigh(read_peel(EXAMPLE)[0])
    rule = PeelRule()
    assert "says nothing" in set_text(judge([one], rule=rule), Reader())
    assert "no valid strip" in set_text(judge([one], rule=rule, invalid=["1"]), Reader())
    assert "not judged" in verdict_text(judge([one], rule=rule), Reader())


@pytest.mark.parametrize(("units", "unit"), [("us", "lbf_in"), ("metric", "n_50mm")])
def test_json_holds_the_same_forces_in_either_unit(units: Any, unit: str) -> None:
    """Turned back to SI, the average is that of the strip, within the rounding."""
    pulled = _set()
    figures = peel_figures(pulled, CLAUSE, Reader(units=units))
    average = figures["strips"][0][f"average_{unit}"]
    assert to_si(average, unit) == pytest.approx(pulled.strips[0].peeled.average, rel=2e-4)
    assert figures["set"]["valid"] == 5
    assert figures["rule"]["clause"] == "3.4"
    assert figures["verdict"] == "fail"
    assert peel_figures(pulled, None, Reader())["rule"]["clause"] is None


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("units", ["us", "metric"])
def test_chart_is_valid(language: Any, units: Any) -> None:
    """The definition obeys the published schema of Vega-Lite, checked by altair."""
    spec = peel_chart(_set(), CLAUSE, Reader(language, units))
    for layer in (one for part in spec["vconcat"] for one in part["layer"]):
        del layer["data"]["values"][3:]  # a schema reads every row, slowly
    altair.VConcatChart.from_dict(spec, validate=True)


def test_chart_thickens_what_the_average_covers() -> None:
    """The thick line runs from the first peak to where the average ends, at its height."""
    pulled = _set()
    panel = peel_chart(pulled, CLAUSE, Reader(units="metric"))["vconcat"][0]
    thin, thick = (one for one in panel["layer"] if one["mark"]["type"] == "line")
    peeled = pulled.strips[0].peeled
    along = [row["x"] for row in thick["data"]["values"]]
    assert min(along) == pytest.approx(1000 * peeled.first_peak, abs=0.6)
    assert max(along) == pytest.approx(1000 * peeled.averaged_to, abs=0.6)
    assert len(thin["data"]["values"]) > len(along)
    rules = [one for one in panel["layer"] if one["mark"]["type"] == "rule"]
    heights = [row["y"] for one in rules for row in one["data"]["values"]]
    assert heights == pytest.approx([peeled.average / 20, 300.0])


def test_chart_without_a_rule_draws_none() -> None:
    """Where no clause asks for force no line pretends one."""
    pulled = judge([weigh(trace) for trace in read_peel(EXAMPLE)], rule=PeelRule())
    panel = peel_chart(pulled, None, Reader())["vconcat"][0]
    assert len([one for one in panel["layer"] if one["mark"]["type"] == "rule"]) == 1
