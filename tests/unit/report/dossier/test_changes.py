"""Events, corrections and sign-offs: what was said before stays readable, beside what holds."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests import cast
from tests.handed import EN, ES, closed, grids, pairs, said, teller, week, week_closed

from lapwright.report.dossier.changes import changes, signing
from lapwright.report.dossier.telling import Teller
from lapwright.report.paper.blocks import Signature

RUN = next(fact for fact in week() if fact.kind == "run")
CORRECTIONS = "Corrections; what was first recorded stays in the record"


def corrected(field: str, new: object, **more: object) -> tuple[str, ...]:
    """The row of one correction of the first run of the week, told in feet."""
    fact = cast.fact("correction", at="18:00", day="2026-05-08", of=RUN, field=field, new=new,
                     by=cast.SAM, **more)  # type: ignore[arg-type]  # fmt: skip
    (row,) = grids(changes(teller([*week(), fact])))[CORRECTIONS].rows
    return row


def test_a_correction_tells_both_values_and_who() -> None:
    """Old and new in the reader's words, with reason and name."""
    row = corrected("station", cast.measure("4 ft"))
    assert row[1].startswith("run")
    assert RUN["seam"] in row[1]
    assert row[3] == "0\N{NO-BREAK SPACE}ft"
    assert row[4] == "4\N{NO-BREAK SPACE}ft"
    assert row[5:] == ("mistyped", "Sam")


def test_a_correction_of_a_person_names_both() -> None:
    """Never their ids."""
    row = corrected("operator", cast.INES.id)
    assert row[3:5] == ("Tom", "Ines")


def test_what_was_taken_back_stays_told() -> None:
    """Nothing disappears from the paper because somebody withdrew it."""
    row = corrected("withdrawn", True)
    assert row[4] == "taken back"


def test_a_value_that_cannot_be_held_has_no_effect_and_says_so() -> None:
    """It is shown as it was written."""
    row = corrected("seam", 7)
    assert "no effect" in row[4]


def test_every_event_stands_with_its_answer() -> None:
    """Two tests of Tuesday were overruled for want of time."""
    rows = grids(changes(Teller(week_closed(), EN)))["What happened, was put off or overruled"].rows
    events = [fact for fact in week() if fact.kind == "event"]
    assert [row[0][11:16] for row in rows] == [fact.at[11:16] for fact in events]
    assert {row[3:] for row in rows} == {("overruled", "no time", "Rosa")}


def test_another_day_s_events_do_not_stand_on_a_sheet() -> None:
    """Wednesday had none, and none was corrected."""
    texts = said(changes(Teller(week_closed("2026-05-06"), EN)))
    assert "No event was recorded, and no test was put off or overruled." in texts
    assert "Nothing was corrected or taken back." in texts


def test_what_nobody_said_is_counted_by_kind_and_field() -> None:
    """As many rows' worth as the cover says, and the patches of the cuts among them."""
    rows = grids(changes(Teller(week_closed(), EN)))["Needed for a sign-off and not known"].rows
    assert sum(int(row[3]) for row in rows) == week_closed().open["missing_fields"]
    cuts = [fact for fact in week() if fact.kind == "cut" and fact["patch"] is None]
    assert sum(int(row[3]) for row in rows if row[1:3] == ("cut", "patch")) == len(cuts)


def test_a_sign_off_stands_as_it_was_given_and_found_in_the_chain() -> None:
    """Who, when, on what, and at which entry the hash signed stands."""
    told = pairs(signing(Teller(week_closed(), EN)), "Signature")
    signs = [fact for fact in week() if fact.kind == "sign_off"]
    for row, fact in zip(told, signs, strict=False):
        assert row["signed by"] == "Rosa"
        assert row["hash signed"] == fact["head"]
        place = next(n for n, one in enumerate(week()) if one.id == fact.id)
        assert row["in the chain"] == f"yes, entry {place}"
        welded = fact["open"]["welded_mm"] / 304.8
        assert f"welded: {welded:.0f} ft" in row["as it stood"]


def test_a_chain_that_was_changed_under_a_signature_is_told() -> None:
    """One word of an older fact is another: the hash signed is nowhere any more."""
    (other, *rest) = week()
    assert other.kind == "job"
    forged = replace(other, body={**other.body, "place": "elsewhere"})
    told = pairs(signing(teller([forged, *rest])), "Signature")
    assert told[0]["in the chain"].startswith("no:")


def test_without_a_chain_nothing_is_called_compared() -> None:
    """Facts alone cannot say whether they were changed."""
    own = Teller(closed(week(), is_chained=False), EN)
    told = pairs(signing(own), "Signature")
    assert told[0]["in the chain"].startswith("not compared")


@pytest.mark.parametrize(("day", "lines"), [(None, 3), ("2026-05-04", 2)])
def test_lines_are_left_for_ink(day: str | None, lines: int) -> None:
    """Foreman and quality lead on each; the owner receives the whole job alone."""
    found = [one for one in signing(Teller(week_closed(day), ES)).blocks
             if isinstance(one, Signature) and one.is_open]  # fmt: skip
    assert len(found) == lines
    assert all(value == "" for one in found for _, value in one.rows)


def test_a_phone_s_own_counts_are_told_in_the_same_words() -> None:
    """Metres of a field page and plain counts; what this program does not know stands as it is."""
    counts = {"unproved": 3.048, "defects": 2, "moon": 1, "odd": {"a": 1}, "repaired": 0}
    sign = cast.fact("sign_off", at="16:00", open=counts, by=cast.ROSA)
    told = pairs(signing(teller([*cast.SETUP, sign])), "Signature")[0]["as it stood"]
    assert "no test weld behind it: 10 ft" in told
    assert "open defects in the whole job: 2" in told
    assert "moon: 1" in told
    assert '{"a": 1}' in told
    assert "probed again" not in told


def test_what_nobody_said_on_several_days_is_one_row_with_its_days() -> None:
    """The first day, the last day, how many; no kind and field twice."""
    rows = grids(changes(Teller(week_closed(), EN)))["Needed for a sign-off and not known"].rows
    assert len({row[1:3] for row in rows}) == len(rows)
    cuts = sorted({fact.day for fact in week() if fact.kind == "cut" and fact["patch"] is None})
    (row,) = [row for row in rows if row[1:3] == ("cut", "patch")]
    assert row[0] == f"{cuts[0]} – {cuts[-1]}: {len(cuts)} days"
