"""The probe log: every walk, defect, repair and T-joint of the record."""

from __future__ import annotations

from collections import Counter

import pytest
from tests import cast
from tests.handed import EN, grids, said, teller, week, week_closed

from lapwright.record.fact import Fact
from lapwright.report.dossier import probing as room
from lapwright.report.dossier import telling
from lapwright.report.dossier.probing import probing
from lapwright.report.dossier.telling import Teller
from lapwright.report.figures import Reader
from lapwright.report.paper.blocks import Listed, Shots


def shown(caption: str, *, day: str | None = None, reader: Reader = EN) -> list[tuple[str, ...]]:
    """Rows of a table of the week."""
    own = Teller(week_closed(day), reader)
    return list(grids(probing(own, with_photos=False))[caption].rows)


def of_kind(kind: str) -> list[Fact]:
    """The week's facts of a kind."""
    return [fact for fact in week() if fact.kind == kind]


def test_every_walk_stands_with_its_prober() -> None:
    """Seam and stations as typed; nobody walked a part twice in this week, so none is joined."""
    walks = Counter((fact["seam"], f"{fact['start']['typed']}–{fact['end']['typed']}\u00a0ft")
                    for fact in of_kind("probe"))  # fmt: skip
    rows = shown("Probe walks")
    assert Counter(row[:2] for row in rows) == walks
    assert {row[3] for row in rows} == {"Luz"}


def test_a_long_job_lists_its_walks_inside_the_file(monkeypatch: pytest.MonkeyPatch) -> None:
    """The rows that a shorter one has on paper; what is open stays there."""
    walks = shown("Probe walks")
    monkeypatch.setattr(telling, "_MANY", 0)
    part = probing(Teller(week_closed(), EN), with_photos=False)
    (listed,) = (block.grid for block in part.blocks if isinstance(block, Listed))
    assert list(listed.rows) == walks
    assert set(grids(part)) >= {"Defects, and how they were closed"}
    assert "Probe walks" not in grids(part)


def test_walks_that_touch_are_one_and_others_are_not() -> None:
    """0 to 30 and 30 to 60 ft are 0 to 60; another prober, and a gap, stand apart."""
    walks = [
        cast.fact("probe", at="12:00", seam="A-S001", start="0 ft", end="30 ft", prober=cast.LUZ),
        cast.fact("probe", at="12:10", seam="A-S001", start="30 ft", end="60 ft", prober=cast.LUZ),
        cast.fact("probe", at="12:20", seam="A-S001", start="70 ft", end="80 ft", prober=cast.LUZ),
        cast.fact("probe", at="12:30", seam="A-S001", start="60 ft", end="90 ft", prober=cast.SAM),
    ]
    own = teller([*cast.SETUP, *walks])
    rows = grids(probing(own, with_photos=False))["Probe walks"].rows
    assert sorted((row[1], row[3]) for row in rows) == [
        ("0–60\u00a0ft", "Luz"), ("60–90\u00a0ft", "Sam"), ("70–80\u00a0ft", "Luz"),
    ]  # fmt: skip


def test_every_defect_stands_with_all_its_repairs() -> None:
    """One row each; as many repairs and probings again as the record has."""
    rows = shown("Defects, and how they were closed")
    assert {row[0] for row in rows} == {fact["number"] for fact in of_kind("defect")}
    assert sum(row[4] != "–" for row in rows) == len(of_kind("repair"))
    assert sum(row[5] != "–" for row in rows) == len(of_kind("reprobe"))


def test_a_repair_probed_by_who_made_it_is_not_closed() -> None:
    """Tuesday's patch: Ines made it and probed it."""
    row = next(row for row in shown("Defects, and how they were closed") if row[0] == "D3")
    assert "Ines" in row[4]
    assert "Ines" in row[5]
    assert row[6] == "probed by the one who repaired it: another person must"


def test_what_is_open_stands_first() -> None:
    """Nobody has to look for it between what is closed."""
    states = [row[6] == "closed" for row in shown("Defects, and how they were closed")]
    assert states == sorted(states)


def test_a_day_tells_its_own_defects_and_all_that_is_open() -> None:
    """Thursday found D5; D3 and D7 are open still."""
    rows = shown("Defects, and how they were closed", day="2026-05-07")
    assert {row[0] for row in rows} == {"D5", "D3", "D7"}


def test_too_many_closed_defects_are_told_by_seam_and_listed_inside(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Each seam tells how many were closed on it; no row is lost: the table inside has all."""
    each = shown("Defects, and how they were closed")
    monkeypatch.setattr(room, "_MOST", 3)
    told = probing(Teller(week_closed(), EN), with_photos=False)
    tables = grids(told)
    assert list(tables["Defects, and how they were closed"].rows) == [
        row for row in each if row[6] != "closed"
    ]
    closed = Counter(row[1].split()[0] for row in each if row[6] == "closed")
    rows = tables["Closed defects by seam"].rows
    assert {row[0]: int(row[1]) for row in rows} == closed
    for row in rows:  # every defect and repair is counted in words, too
        kinds = [int(part.split()[0]) for part in row[2].split(", ")]
        assert sum(kinds) == int(row[1])
    (listed,) = [block for block in told.blocks if isinstance(block, Listed)]
    assert list(listed.grid.rows) == each
    assert str(len(each)) in listed.text
    assert listed.file in listed.text


def test_a_seam_tells_when_its_last_defect_was_closed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two voids on one seam, patched and probed again: the later probing counts."""
    monkeypatch.setattr(room, "_MOST", 1)
    facts = []
    for number, hour in (("D1", "13"), ("D2", "12")):
        void = cast.fact(
            "defect", at="10:00", number=number, seam="A-S001", station="9 ft", length="0.1 ft",
            type="wrinkle", found_by="probe",
        )  # fmt: skip
        mend = cast.fact("repair", at="10:30", defect=void, method="patch", operator=cast.SAM)
        probe = cast.fact("reprobe", at=f"{hour}:00", repair=mend, prober=cast.LUZ, result="closed")
        facts += [void, mend, probe]
    told = grids(probing(teller([*cast.SETUP, *facts]), with_photos=False))
    (row,) = told["Closed defects by seam"].rows
    assert row[:4] == ("A-S001", "2", "2 wrinkle", "2 patch")
    assert row[4][11:16] == "13:00"
    assert "Defects, and how they were closed" not in told  # nothing is open


def test_a_day_counts_what_is_open_from_before_where_it_is_too_much(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Thursday's own is told, D3 and D7 are counted."""
    monkeypatch.setattr(room, "_TOLD", 1)
    rows = shown("Defects, and how they were closed", day="2026-05-07")
    assert {row[0] for row in rows} == {"D5"}
    texts = said(probing(Teller(week_closed("2026-05-07"), EN), with_photos=False))
    assert any(text.startswith("2 more defects") for text in texts)


def test_t_joints_are_told_or_counted() -> None:
    """Each that somebody looked at has a row; the others are counted, and named."""
    rows = shown("T-joints")
    told = {fact["number"] for fact in of_kind("t_joint")}
    assert {row[0] for row in rows} == told
    assert [row[5] for row in rows].count("closed") == 4  # the week's fifth and sixth: not probed
    texts = said(probing(Teller(week_closed(), EN), with_photos=False))
    silent = next(text for text in texts if text.startswith("Nothing was recorded of"))
    known = {one["id"] for plan in of_kind("plan") for seam in plan["seams"]
             for one in seam["t_joints"]}  # fmt: skip
    assert silent.split()[4] == str(len(known - told))
    assert all(name in silent for name in known - told)


def test_nothing_walked_and_nothing_found_are_said() -> None:
    """Two sentences and no table."""
    told = probing(teller([cast.JOB_FACT]), with_photos=True)
    assert not grids(told)
    assert {"No probe walk was recorded.", "No defect was recorded."} <= set(said(told))


@pytest.mark.parametrize("with_photos", [False, True])
def test_photos_of_defects_are_left_out_on_request(with_photos: bool) -> None:
    """And stand there otherwise."""
    defect = of_kind("defect")[0]
    photo = cast.fact("photo", at="10:20", file="ab" * 32, of=defect)
    told = probing(teller([*week(), photo]), with_photos=with_photos)
    assert any(isinstance(one, Shots) for one in told.blocks) == with_photos
