"""What counting proves: exact limits by their own formulas, and never more than was counted."""

from __future__ import annotations

import re

from scipy.stats import beta, chi2
from tests import cast
from tests.handed import EN, grids, said, teller, week, week_closed

from lapwright.report.dossier.counting import counting
from lapwright.report.dossier.telling import Teller

TOLD = counting(Teller(week_closed(), EN))


def whole(title: str) -> str:
    """The sentences of one part."""
    (found,) = (each for each in TOLD.sections if each.title == title)
    return " ".join(said(found))


def test_aimed_cuts_prove_nothing_about_the_roof() -> None:
    """All six cuts of the week traced a fault back: they are counted, no share follows."""
    text = whole("Cuts: bond")
    cuts = [fact for fact in week() if fact.kind == "cut"]
    strips = {fact["of"]: fact["pull"] for fact in week() if fact.kind == "strip"}
    bad = sum(strips[cut.id] != "full" for cut in cuts)
    assert f"{len(cuts)} cuts were taken" in text
    assert f"{bad} of them bad" in text
    assert "%" not in text


def test_the_limit_of_test_welds_is_the_exact_one() -> None:
    """Clopper and Pearson 1934, one-sided: beta quantile of bad + 1 and good."""
    found = re.search(
        r"(\d+) of (\d+) test .*? up to (\d+) % .*?\((\d+) %", whole("Test welds: their hour")
    )
    bad, taken, limit, sure = (int(one) for one in found.groups())  # type: ignore[union-attr]
    exact = beta.ppf(sure / 100, bad + 1, taken - bad)
    assert abs(100 * exact - limit) <= 0.5


def test_test_welds_that_only_searched_are_not_counted() -> None:
    """A search is meant to fail at its ends; the week's other welds are what counts."""
    sure = [fact for fact in week() if fact.kind == "test_weld" and fact["purpose"] != "search"]
    taken = int(re.search(r"of (\d+) test", whole("Test welds: their hour")).group(1))  # type: ignore[union-attr]
    assert taken <= len(sure)
    assert taken > len(sure) / 2


def test_the_limit_of_probing_is_the_exact_one() -> None:
    """Garwood 1936: half the chi-square quantile of twice (voids + 1), over the feet probed."""
    text = whole("Probing: open lips")
    found = re.search(r"(\d+) voids on (\d+) ft probed: up to ([\d.]+) per 1000 ft", text)
    voids, feet, limit = (float(one) for one in found.groups())  # type: ignore[union-attr]
    exact = 1000 * chi2.ppf(0.95, 2 * (voids + 1)) / 2 / feet
    assert abs(exact - limit) <= 0.05


def test_probing_never_stands_for_bond() -> None:
    """The sentence goes with the figures."""
    assert "Probing finds open lips, not false welds." in whole("Probing: open lips")


def test_the_finds_of_each_day_are_those_of_the_record() -> None:
    """Voids found by the probe over the feet walked, day by day."""
    rows = next(iter(grids(TOLD).values())).rows
    probes = [fact for fact in week() if fact.kind == "probe"]
    for row in rows:
        walked = sum(float(one["end"]["typed"]) - float(one["start"]["typed"])
                     for one in probes if one.day == row[0])  # fmt: skip
        found, length = re.fullmatch(r"(\d+) / ([\d.]+) ft", row[1]).groups()  # type: ignore[union-attr]
        voids = [one for one in week() if one.kind == "defect" and one.day == row[0]
                 and one["found_by"] == "probe" and one["type"] == "edge_void"]  # fmt: skip
        assert int(found) == len(voids)
        assert float(length) <= walked
    assert len(rows) == len({one.day for one in probes})


def test_nothing_counted_is_said_of_each_kind() -> None:
    """An empty job: four sentences, no figure but none."""
    told = counting(teller([cast.JOB_FACT]))
    texts = said(told)
    assert texts.count("Nothing was counted.") == 3
    assert any(text.startswith("No planned cut") for text in texts)
