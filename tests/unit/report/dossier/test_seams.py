"""The trace in the paper: no foot is lost, joined feet are alike, and what lacks says why."""

from __future__ import annotations

import re
from collections import defaultdict
from itertools import pairwise

import pytest
from tests import cast
from tests.handed import EN, ES, grids, said, teller, week, week_closed

from lapwright.report.dossier import telling
from lapwright.report.dossier.seams import Piece, pieces, seams
from lapwright.report.dossier.telling import Teller
from lapwright.report.paper.blocks import Grid

WHO, NOT_PROVED = "What stands behind each foot", "Not proved"


def shown(caption: str, *, day: str | None = None) -> Grid:
    """One of the tables of the week."""
    return grids(seams(Teller(week_closed(day), EN)))[caption]


def ends(cell: str) -> tuple[float, float]:
    """``90–180 ft`` as numbers."""
    low, high = re.fullmatch(r"([\d.]+)–([\d.]+)\u00a0ft", cell).groups()  # type: ignore[union-attr]
    return float(low), float(high)


def planned() -> dict[str, float]:
    """Seams of the plans with their length in feet, from the facts."""
    plans = [fact for fact in week() if fact.kind == "plan"]
    return {seam["id"]: seam["spans"][-1][1] / 0.3048 for plan in plans for seam in plan["seams"]
            if seam["spans"]}  # fmt: skip


def test_every_planned_foot_stands_in_the_trace_once() -> None:
    """Row joins row from station 0 to the end of each seam of the plan."""
    spans = defaultdict(list)
    for row in shown(WHO).rows:
        spans[row[0]].append(ends(row[1]))
    assert set(spans) >= set(planned())
    for seam, length in planned().items():
        found = sorted(spans[seam])
        assert found[0][0] == 0
        assert found[-1][1] == pytest.approx(length, abs=0.05)
        for (_, end), (start, _) in pairwise(found):
            assert start == end or seam == "A-S003"  # 130 to 136 ft: nobody welded it


def test_a_long_job_counts_the_feet_that_only_wait_for_a_defect(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """They leave the table, no other row does, and their feet are told together."""
    rows = shown(NOT_PROVED).rows
    monkeypatch.setattr(telling, "_MANY", 0)
    waiting = [row for row in rows if row[3] == "open defect"]
    assert len(waiting) == 1
    assert list(shown(NOT_PROVED).rows) == [row for row in rows if row not in waiting]
    told = " ".join(said(seams(Teller(week_closed(), EN))))
    feet = sum(float(row[2].split()[0]) for row in waiting)
    assert f"closing of a defect: 1, {feet:g} ft in all" in told


def test_what_lacks_in_the_first_table_stands_again_in_the_second() -> None:
    """The feet counted under "lacks" are the feet of "Not proved", seam by seam."""
    first, second = defaultdict(float), defaultdict(float)
    for row in shown(WHO).rows:
        first[row[0]] += 0.0 if row[-1] == "–" else float(row[-1].split()[0])
    for row in shown(NOT_PROVED).rows:
        second[row[0]] += float(row[2].split()[0])
    assert {seam: round(feet, 1) for seam, feet in first.items() if feet} == {
        seam: round(feet, 1) for seam, feet in second.items()
    }


def test_a_stretch_names_who_ran_what_on_which_test() -> None:
    """A-S008, from the story of the week: Ines without a test for 60 ft, then Tom."""
    first, second = (row for row in shown(WHO).rows if row[0] == "A-S008")
    assert first[3].startswith("Ines")
    assert first[5] == "none"
    assert second[3].startswith("Tom")
    behind = [fact["number"] for fact in week() if fact.kind == "test_weld"]
    assert second[5] in behind


def test_a_seam_of_several_runs_is_told_from_its_first_to_its_last_moment() -> None:
    """A-S001 was run in two goes: from the start of the first to the end of the second."""
    runs = [fact for fact in week() if fact.kind == "run" and fact["seam"] == "A-S001"]
    ends = [fact for fact in week() if fact.kind == "run_end" and fact["run"] == runs[-1].id]
    row = next(row for row in shown(WHO).rows if row[0] == "A-S001")
    assert len(runs) > 1
    assert row[2] == f"{runs[0].day} {runs[0].at[11:16]}–{ends[0].at[11:16]}"


@pytest.mark.parametrize(
    ("seam", "why"),
    [("A-S008", "nobody named a set point"), ("A-S004", "probed by the one who repaired it"),
     ("A-S002", "defect D7: not repaired"), ("A-S006", "long stop, due from 2026-05-06 09:47")],
)  # fmt: skip
def test_each_lack_says_why(seam: str, why: str) -> None:
    """Which is missing, which clause, which defect."""
    assert any(row[0] == seam and why in row[-1] for row in shown(NOT_PROVED).rows)


def test_a_due_test_is_told_with_who_demands_it() -> None:
    """The clause, or that it is our own choice, stands behind the moment it came due."""
    rows = [row for row in shown(NOT_PROVED).rows if row[0] == "A-S006"]
    assert "liner quality plan" in rows[0][-1]


def test_a_failure_puts_its_feet_in_doubt() -> None:
    """Thursday's cut at 60 ft failed, the one at 50 ft held: 50 to 110 ft are in doubt."""
    row = next(row for row in shown("In doubt after a failure").rows if "C5" in row[0])
    assert row[3] == "A-S009 50–110\N{NO-BREAK SPACE}ft"
    assert row[4] == "60 ft"


def test_a_day_tells_its_own_feet_alone() -> None:
    """Tuesday's sheet has the seams run on Tuesday."""
    runs = {fact["seam"] for fact in week() if fact.kind == "run" and fact.day == "2026-05-05"}
    assert {row[0] for row in shown(WHO, day="2026-05-05").rows} == runs


def test_a_job_without_seams_says_so() -> None:
    """No plan and no run: one sentence, no table."""
    told = seams(teller([cast.JOB_FACT]))
    assert not grids(told)
    assert "No seam was planned or welded." in said(told)


def test_all_proved_is_said_only_where_nothing_lacks() -> None:
    """Monday's first seam alone: tested, probed, voids closed and probed by another."""
    proved = "Every foot has a valid test weld"
    second = ("10:45", "10:54", "10:58", "11:07")  # the runs of the other seam and their ends
    first = [fact for fact in week() if fact.day == "2026-05-04" and fact.kind != "plan"
             and fact["seam"] != "A-S002" and fact.at[11:16] not in second]  # fmt: skip
    assert any(proved in text for text in said(seams(teller(first))))
    unprobed = [fact for fact in first if fact.kind != "probe"]
    assert not any(proved in text for text in said(seams(teller(unprobed))))


def test_joined_stretches_agree_in_what_is_told() -> None:
    """Taken apart again, the pieces are the stretches: none lost, none twice, none across seams."""
    trace = week_closed().stretches
    found = list(pieces(trace, key=lambda each: each.states))
    assert [each for piece in found for each in piece.stretches] == list(trace)
    for piece in found:
        assert len({(each.seam, each.states) for each in piece.stretches}) == 1
    assert len(found) < len(trace)


def test_what_a_piece_lacks_is_what_its_stretches_lack() -> None:
    """All the bare seam of one piece, in metres."""
    bare = [each for each in week_closed().stretches if each.seam == "A-S012"]
    piece = Piece(tuple(bare))
    assert piece.lacking == pytest.approx(110 * 0.3048)
    assert piece.span.length == pytest.approx(110 * 0.3048)


def test_a_long_table_loses_no_row() -> None:
    """Four hundred seams run by the cast, four hundred rows in both languages."""
    stretches = [
        cast.ran(f"A-S{n:03}", "0 ft", "30 ft", at=cast.later("08:00", n)) for n in range(400)
    ]
    runs = [one for stretch in stretches for one in stretch]
    facts = [*cast.SETUP, *runs]
    for reader in (EN, ES):
        table = next(iter(grids(seams(teller(facts, reader))).values()))
        assert [row[0] for row in table.rows] == [f"A-S{n:03}" for n in range(400)]
