"""``lapwright learn``: what is told of past days, in words that match the figures, and kept."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner, Result
from tests import cast
from tests.week import week_facts

from lapwright.cli import main
from lapwright.record.replay import Record
from lapwright.store import open_store
from lapwright.units import from_si

WEEK = Path(__file__).parents[3] / "src" / "lapwright" / "examples" / "week.zip"
MORNING = "2026-05-23"
JOB = week_facts()[0].job


@pytest.fixture
def place(tmp_path: Path) -> str:
    """A store with the invented week in it."""
    file = str(tmp_path / "week.db")
    assert CliRunner().invoke(main, ["import", str(WEEK), "--store", file]).exit_code == 0
    return file


def learned(place: str, *more: str) -> Result:
    """The command on that store."""
    return CliRunner().invoke(main, ["learn", "--store", place, *more])


def figures(place: str, *more: str) -> dict[str, Any]:
    """What it prints as JSON."""
    said: dict[str, Any] = json.loads(
        learned(place, "--job", JOB[:8], "--day", MORNING, "--json", *more).output
    )
    return said


def kept(place: str) -> list[dict[str, Any]]:
    """Bodies of the facts of past days in the job."""
    store = open_store(place)
    record = Record(entry.fact for entry in store.ledger.since(JOB))
    store.close()
    return [dict(fact.body) for fact in record.all("past_days")]


def test_the_week_is_counted_as_a_person_counts_it(place: str) -> None:
    """Welds, and days of one machine, pairing and nozzle, as the facts have them."""
    week = Record(week_facts())
    graded = {strip["of"] for strip in week.all("strip")}
    welds = [weld for weld in week.all("test_weld") if weld.id in graded]
    said = figures(place)
    assert said["test_welds"] == len(welds)
    days = {
        (weld.day, weld["machine"], weld["pairing"], weld["nozzle_setup"] is None) for weld in welds
    }
    assert said["days"] == said["families"][0]["days"] == len(days)
    assert sum(one["days"] for one in said["levels"] if one["by"] == "machine") == len(days)


def test_words_and_figures_are_the_same(place: str) -> None:
    """The table rounds what the JSON says, in both languages and unit systems."""
    for language, units, unit in (("en", "us", "f"), ("es", "metric", "c")):
        more = ("--lang", language, "--units", units)
        text = learned(place, "--job", JOB, "--day", MORNING, *more).output
        said = figures(place, *more)
        family = said["families"][0]
        sign = "°F" if unit == "f" else "°C"
        for edge in ("bottom", "width"):
            wanted = f"{family[f'{edge}_{unit}']:.0f} {sign} ± {family[f'{edge}_give_{unit}']:.0f}"
            assert wanted in text.replace("\u202f", " ")
        written = re.findall(rf"\n  \w+ (\d+) {sign} \(", text)
        assert [float(each) for each in written] == pytest.approx(
            [one[f"bottom_{unit}"] for one in said["expects"]], abs=0.6
        )
        assert ("nozzle" in text) is (language == "en")
        assert not re.search(r"\b(bottom|width|learn)\b", text) or language == "en"


def test_keeping_writes_one_fact_a_machine_and_pairing_once(place: str) -> None:
    """What is kept is what was told; doing it again adds nothing."""
    told = figures(place, "--keep")["expects"]
    bodies = kept(place)
    assert len(bodies) == len(told) == 2
    told.sort(key=lambda one: one["bottom_f"])
    bodies.sort(key=lambda body: body["expects"]["bottom"])
    for body, one in zip(bodies, told, strict=True):
        assert body["counts_from"] == MORNING
        assert round(from_si(body["expects"]["bottom"], "f"), 1) == one["bottom_f"]
    again = learned(place, "--job", JOB, "--day", MORNING, "--keep")
    assert "Nothing new" in again.output
    assert len(kept(place)) == 2
    assert CliRunner().invoke(main, ["verify", "--store", place]).exit_code == 0


def test_without_keep_the_record_stays_as_it_is(place: str) -> None:
    """Looking writes nothing."""
    assert learned(place, "--job", JOB, "--day", MORNING).exit_code == 0
    assert kept(place) == []


def test_an_invented_job_teaches_no_real_one(place: str) -> None:
    """Without a job only real days count, and the week is invented; --invented turns it round."""
    assert "0 test welds" in learned(place).output
    assert "31 test welds" in learned(place, "--invented").output
    store = open_store(place)
    store.ledger.append(
        cast.JOB, [cast.JOB_FACT, *cast.morning()], received_at="2026-05-23T12:00:00+00:00"
    )
    store.close()
    real = learned(place, "--job", cast.JOB, "--day", MORNING)
    assert real.exit_code == 0, real.output
    assert "31 test welds" not in real.output


def test_days_from_the_morning_on_do_not_teach_it(place: str) -> None:
    """Asked for the week's own second day, only its first is known, and nothing is expected."""
    days = sorted({weld.day for weld in Record(week_facts()).all("test_weld")})
    said = json.loads(learned(place, "--job", JOB, "--day", days[1], "--json").output)
    assert said["days"] == 1
    assert said["expects"] == []
    assert "Too few days" in learned(place, "--job", JOB, "--day", days[1]).output


def test_an_empty_store_teaches_nothing(tmp_path: Path) -> None:
    """No day, no table, and a plain word of it."""
    file = str(tmp_path / "empty.db")
    open_store(file).close()
    result = learned(file)
    assert result.exit_code == 0, result.output
    assert "Nothing known yet" in result.output


@pytest.mark.parametrize(
    ("more", "says"),
    [
        (("--job", "ffff"), "ffff"),
        (("--day", "23"), '"23" is no day'),
        (("--day", "2026-02-30"), "2026-02-30"),
    ],
)
def test_what_is_asked_wrongly_is_refused(place: str, more: tuple[str, ...], says: str) -> None:
    """A job or a day that does not exist ends with one sentence."""
    result = learned(place, *more)
    assert result.exit_code == 2
    assert says in result.output
    assert result.output.count("\n") == 1


def test_the_spread_of_levels_is_told_with_its_doubt(place: str) -> None:
    """No level of a single week is told as known: each ± is wider than what it adds."""
    said = figures(place)
    for one in said["levels"]:
        assert abs(one["bottom_f"]) < one["bottom_give_f"]
        assert np.isfinite(one["width_give_f"])
