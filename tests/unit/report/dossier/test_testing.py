"""Test welds and set points in the paper: grades as graded, windows as they were decided."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest
from tests import cast
from tests.handed import EN, ES, teller, week, week_closed

from lapwright.job.closingday import ChainDay, Tested
from lapwright.job.decided import Decided
from lapwright.readings.decided import decided
from lapwright.record.fact import Fact
from lapwright.report.dossier.telling import Teller
from lapwright.report.dossier.testing import (
    Drawn,
    looks_text,
    photos,
    set_points,
    strips_text,
    verdict_text,
    window_pictures,
)
from lapwright.report.dossier.testing import test_welds as weld_table
from lapwright.report.paper.blocks import Grid, Picture, Shots, Words

MONDAY = week_closed().days[0]


def one_weld(pulls: str, **more: object) -> tuple[Teller, Tested]:
    """A test weld of the cast, told."""
    facts = [*cast.SETUP, *cast.welded("T1", "860 f", pulls, **more)]  # type: ignore[arg-type]
    own = teller(facts)
    (chain,) = own.closeout.days[0].chains
    return own, chain.tested[0]


def test_every_strip_stands_with_its_grade_and_width() -> None:
    """As many grades of each sort as the strips of the week."""
    own = Teller(week_closed(), EN)
    texts = [strips_text(own, one) for day in own.closeout.days for chain in day.chains
             for one in chain.tested]  # fmt: skip
    shown = Counter(part.split("\N{NO-BREAK SPACE}")[1] for text in texts
                    for part in text.split("; "))  # fmt: skip
    welds = {fact.id for fact in week() if fact.kind == "test_weld"}
    strips = [one for one in week() if one.kind == "strip" and one["of"] in welds]
    assert shown == Counter(one["pull"] for one in strips)


def test_a_strip_is_never_torn_between_lines() -> None:
    """Number, grade and width hold together; strips are parted by spaces."""
    own, tested = one_weld("fpc")
    parts = strips_text(own, tested).split(" ")
    assert [part[0] for part in parts] == ["1", "2", "3"]


def test_no_strip_is_said_as_such() -> None:
    """Not graded is not passed."""
    own, tested = one_weld("")
    assert strips_text(own, tested) == "no strip graded"
    assert "passed" not in verdict_text(own, tested)


def test_a_failed_weld_says_why() -> None:
    """Cold strips, and heat signs, each by its name."""
    own, cold = one_weld("ccf")
    assert verdict_text(own, cold).startswith("failed: cold")
    own, hot = one_weld("fff", heat="glaze")
    assert "heat signs" in verdict_text(own, hot)
    assert "glaze" in looks_text(own, hot)


def test_not_looked_is_not_without_signs() -> None:
    """Nobody looked at the weld while it was hot: that is not known, never fine."""
    own, tested = one_weld("fff", heat=None, corner=None)
    unseen = looks_text(own, tested)
    own, seen = one_weld("fff")
    assert "no heat sign" in looks_text(own, seen)
    assert "no heat sign" not in unseen


def test_a_set_point_stands_as_accepted_with_the_answer_of_its_hour() -> None:
    """Verdict, edges and P(sound) are those that the decision carries, in field units."""
    (grid,) = set_points(Teller(week_closed(), EN), MONDAY.chains[0], Drawn(decided, 0))
    assert isinstance(grid, Grid)
    first = next(fact for fact in week() if fact.kind == "decision")
    row = grid.rows[0]
    kelvin = first["answer"]["bottom"]["mid"]
    assert row[0] == first.at[11:16]
    assert row[1].startswith(f"{first['air']['typed']}\N{NO-BREAK SPACE}°F")
    assert row[4].startswith(f"{kelvin * 1.8 - 459.67:.0f}")
    assert row[6].startswith(f"{100 * first['answer']['set_point']['p_sound']:.0f}")


def test_a_set_point_from_experience_carries_no_window() -> None:
    """The reason stands beside who took it; beside others that have a window, dashes do."""
    friday = next(chain for chain in week_closed().days[-1].chains if chain.chain.operator
                  == cast.INES.id)  # fmt: skip
    (grid,) = set_points(Teller(week_closed(), EN), friday, Drawn(decided, 0))
    assert isinstance(grid, Grid)
    (row,) = grid.rows
    assert row[3:] == ("no window was worked out", "Rosa (experience)")
    mixed = replace(friday, decisions=(*friday.decisions, *MONDAY.chains[0].decisions))
    (grid,) = set_points(Teller(week_closed(), EN), mixed, Drawn(decided, 0))
    assert isinstance(grid, Grid)
    assert grid.rows[0][3:7] == ("no window was worked out", "–", "–", "–")


def test_a_window_that_does_not_come_out_again_is_not_drawn() -> None:
    """Its question gives another answer than was kept: a caution instead of a picture."""

    def bent(fact: Fact) -> Decided:
        kept = decided(fact)
        assert kept is not None
        assert kept.top.mid is not None
        return replace(kept, top=replace(kept.top, mid=kept.top.mid + 1))  # K

    (block,) = window_pictures(Teller(week_closed(), EN), MONDAY.chains[0], Drawn(bent, 1))
    assert isinstance(block, Words)
    assert block.tone == "caution"


def test_the_newest_window_is_drawn_with_its_figures_in_words() -> None:
    """Who cannot see the picture reads verdict, bottom and top."""
    own = Teller(week_closed(), ES)
    (picture,) = window_pictures(own, MONDAY.chains[0], Drawn(decided, 1))
    assert isinstance(picture, Picture)
    assert MONDAY.chains[0].decisions[-1].at[11:16] in picture.caption
    assert "Mínimo" in picture.alt
    assert "<svg" in picture.svg


def test_no_test_weld_makes_no_table() -> None:
    """Nor does a chain without set points."""
    own = Teller(week_closed(), EN)
    bare = ChainDay(MONDAY.chains[0].chain, (), (), ())
    assert not [*weld_table(own, bare.tested), *set_points(own, bare, Drawn(decided, 0))]


@pytest.mark.parametrize("count", [0, 1, 3])
def test_photos_stand_by_what_they_show(count: int) -> None:
    """Each once, named after the strip; no photo, no empty frame."""
    strip = next(fact for fact in week() if fact.kind == "strip")
    shown = [cast.fact("photo", at=f"06:2{n}", file=f"{n}a" * 32, of=strip) for n in range(count)]
    own = teller([*week(), *shown])
    blocks = list(photos(own, strip))
    files = [shot.file for one in blocks if isinstance(one, Shots) for shot in one.shots]
    assert files == [fact["file"] for fact in shown]
    assert len(blocks) == bool(count)
