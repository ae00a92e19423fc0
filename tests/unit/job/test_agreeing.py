"""Looks at the same strips side by side, from a file and from the record."""

from __future__ import annotations

import pytest
from tests import cast

from lapwright.errors import LapwrightError
from lapwright.job.agreeing import ENOUGH, Look, agreement, agreement_on_record
from lapwright.record.fact import Fact
from lapwright.record.replay import Record

FIRST = ["cold"] * 5 + ["partial"] * 5 + ["full"] * 10
SECOND = ["cold"] * 4 + ["partial"] * 5 + ["full"] * 11


def looks(*graders: list[str]) -> list[Look]:
    """Each grader's looks at strips 1, 2, ..."""
    return [
        Look(str(strip), f"g{who}", grade)
        for who, grades in enumerate(graders)
        for strip, grade in enumerate(grades)
    ]


def codes(found: object) -> list[str]:
    """Codes of the cautions."""
    return [caution.code for caution in found.cautions]  # type: ignore[attr-defined]


def test_plain_counts_come_first() -> None:
    """Alike, one step apart and unsure are counted by hand: 18 of 20, two near."""
    found = agreement(looks(FIRST, SECOND))
    assert (found.strips, found.same, found.near, found.unsure) == (20, 18, 2, 0)
    assert found.grades == ("cold", "partial", "full")
    assert found.table == ((4, 1, 0), (0, 4, 1), (0, 0, 10))
    # By hand: seen 0.9; by chance (5x4 + 5x5 + 10x11)/400 = 0.3875.
    assert found.kappa is not None
    assert found.kappa.value == pytest.approx((0.9 - 0.3875) / (1 - 0.3875))
    assert codes(found) == ["alike_not_right"]


def test_an_index_waits_for_twenty_strips() -> None:
    """Job rule: with 19 strips graded twice the count stands alone, and says why."""
    few = agreement(looks(FIRST[:19], SECOND[:19]))
    assert (few.kappa, few.weighted) == (None, None)
    assert few.same == 17
    assert codes(few)[0] == "few_graded"
    assert few.cautions[0].data == {"have": "19", "need": str(ENOUGH)}


def test_one_grade_for_all_gives_no_index() -> None:
    """Twenty strips all called full: the count is told, an index is not."""
    found = agreement(looks(["full"] * 20, ["full"] * 20))
    assert (found.same, found.kappa) == (20, None)
    assert codes(found)[0] == "one_grade_only"


def test_cannot_tell_is_an_answer_but_no_step() -> None:
    """Whoever cannot tell has not graded alike, and is one step from nobody."""
    found = agreement(looks([*FIRST, "cannot_tell"], [*SECOND, "full"]))
    assert (found.same, found.near, found.unsure) == (18, 2, 1)
    assert found.grades[-1] == "cannot_tell"


def test_the_weighted_index_reads_ordered_grades_only() -> None:
    """Skin stands in no row with cold and full: such strips stay out of the weighted index."""
    plain = agreement(looks(FIRST, SECOND))
    more = agreement(looks([*FIRST, "skin"], [*SECOND, "cold"]))
    assert more.weighted == plain.weighted
    assert more.kappa != plain.kappa


def test_several_graders_have_their_own_index() -> None:
    """Of three graders: alike by all three, Fleiss' index, no table of two."""
    found = agreement(looks(FIRST, SECOND, FIRST))
    assert (found.graders, found.same, found.table, found.near) == (3, 18, None, None)
    assert found.several is not None
    assert 0.7 < found.several < 1
    assert found.kappa is None


def test_names_come_by_the_alphabet_never_by_rank() -> None:
    """Each grader beside all others: with three, two comparisons a strip."""
    found = agreement(looks(SECOND, FIRST, FIRST))
    assert [(one.grader, one.same, one.of) for one in found.own] == [
        ("g0", 36, 40), ("g1", 38, 40), ("g2", 38, 40),
    ]  # fmt: skip


def test_strips_that_not_all_graded_stay_out() -> None:
    """A strip of one grader is counted as left out, never as agreed."""
    found = agreement([*looks(FIRST, SECOND), Look("lonely", "g0", "full")])
    assert (found.strips, found.left_out) == (20, 1)


def test_what_cannot_be_compared_is_refused() -> None:
    """Two grades of one person for one strip; strips of one grader only."""
    with pytest.raises(LapwrightError) as twice:
        agreement([*looks(FIRST, SECOND), Look("3", "g1", "cold")])
    assert (twice.value.code, twice.value.data) == ("graded_twice", {"strip": "3", "grader": "g1"})
    with pytest.raises(LapwrightError) as once:
        agreement(looks(FIRST))
    assert once.value.code == "nothing_twice"


def on_record(pairs: list[tuple[str, str]], *, second_by: str = "Luz") -> list[Fact]:
    """A test weld whose strips Ana graded, and somebody a second time."""
    people = {name: cast.fact("person", name=name) for name in ("Ana", "Luz")}
    weld = cast.welded("1", "860 f", "", at="08:00")[0]
    strips = [
        cast.fact("strip", at=f"08:{10 + 20 * is_second}", of=weld, number=str(place), pull=pull,
                  second_look=bool(is_second) or None, by=people[second_by if is_second else "Ana"])
        for place, pair in enumerate(pairs, start=1)
        for is_second, pull in enumerate(pair)
    ]  # fmt: skip
    return [*people.values(), weld, *strips]


def test_second_looks_of_the_record_are_paired() -> None:
    """First looks in rows, second in columns, whatever the order of the facts."""
    facts = on_record([("full", "full"), ("partial", "cold"), ("full", "partial")])
    found = agreement_on_record(Record(facts[::-1]))
    assert (found.strips, found.same, found.near) == (3, 1, 2)
    assert found.grades == ("cold", "partial", "full")
    assert found.table == ((0, 0, 0), (1, 0, 0), (0, 1, 1))
    assert [one.grader for one in found.own] == ["Ana", "Luz"]


def test_a_second_look_by_the_same_person_is_none() -> None:
    """Who grades a strip twice agrees with himself: that says nothing."""
    facts = on_record([("full", "full"), ("cold", "full")], second_by="Ana")
    with pytest.raises(LapwrightError) as caught:
        agreement_on_record(Record(facts))
    assert caught.value.code == "nothing_twice"
