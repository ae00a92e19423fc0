"""Cuts and pulls in the paper: each of the record, with what its strips said."""

from __future__ import annotations

from tests import cast
from tests.handed import EN, ES, grids, said, teller, week, week_closed

from lapwright.record.fact import Fact
from lapwright.report.dossier.cutting import cutting
from lapwright.report.dossier.telling import Teller


def of_kind(kind: str) -> list[Fact]:
    """The week's facts of a kind."""
    return [fact for fact in week() if fact.kind == kind]


def test_every_cut_stands_with_grade_and_verdict() -> None:
    """Three of the six of the week failed: C1 cold, C2 skin bond, C5 partial."""
    rows = grids(cutting(Teller(week_closed(), EN), with_photos=False))["Cuts and peel traces"].rows
    grades = {fact["of"]: fact["pull"] for fact in of_kind("strip")}
    assert [row[0] for row in rows] == [fact["number"] for fact in of_kind("cut")]
    for row, fact in zip(rows, of_kind("cut"), strict=True):
        assert row[1] == f"{fact['seam']} {fact['station']['typed']}\u00a0ft"
        assert row[6].startswith("passed" if grades[fact.id] == "full" else "failed")


def test_no_cut_is_said() -> None:
    """Nor a table of none."""
    told = cutting(teller([cast.JOB_FACT]), with_photos=True)
    assert "No cut was recorded." in said(told)
    assert not grids(told)


def test_pulls_of_a_gauge_stand_beside_what_was_pulled() -> None:
    """Rate, width and the beginning of the name under which the trace is kept."""
    strip = of_kind("strip")[0]
    pull = cast.fact("peel_trace", at="09:00", strip=strip, rate="2 in_min", width="1 in",
                     instrument="gauge 4", file="cd" * 32)  # fmt: skip
    own = teller([*week(), pull], ES)
    (row,) = grids(cutting(own, with_photos=False))["Registros de dinamómetro"].rows
    weld = next(fact for fact in week() if fact.id == strip["of"])
    assert weld["number"] in row[0]
    assert row[1:3] == ("1", "51\u00a0mm/min")  # 2 x 25.4
    assert row[5] == "cdcdcdcdcdcdcdcd"
