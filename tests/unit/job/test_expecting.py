"""What past days let expect, kept as a fact: which fact counts when, and what it does."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

import pytest
from tests import cast
from tests.week import week_facts

from lapwright.errors import OutOfRange
from lapwright.job.expecting import Expected, body_of, expectations, expected_by, is_news
from lapwright.job.morning import Morning
from lapwright.job.pastwelds import Past, past_welds
from lapwright.job.testing import Asked, ask
from lapwright.proof.chains import Chain, Chains
from lapwright.readings.rules import read_rule_book
from lapwright.record.fact import Fact
from lapwright.record.replay import Record
from lapwright.record.tested import TestedJobs, each_tested
from lapwright.window.history import learn
from lapwright.window.prior import EARLIER_SHARE, TAIL, Earlier

TOMORROW = "2026-05-05"
EARLIER = Earlier(
    bottom=655.5, bottom_sd=12.25, width=170.0, width_sd=20.0, bottom_day_sd=15.0,
    width_day_sd=18.0, freedom=TAIL,
)  # fmt: skip
RULES = read_rule_book([])


def kept(at: str = "05:00", *, expects: Any = None, **other: Any) -> Fact:
    """A fact of what the cast's machine may expect on the cast's pairing."""
    told = body_of(
        Expected(cast.MACHINE, cast.PAIRING, cast.NOZZLE, EARLIER, days=7),
        day=other.pop("counts_from", cast.DAY),
    )
    if expects is not None:
        told["expects"] = expects
    return cast.fact("past_days", at=at, **{**told, **other})


def chain_of(record: Record) -> Chain:
    """The cast's chain."""
    return Chains(record).of(cast.ran("A-S001", "0 ft", "1 ft")[0])


def asked(*facts: Fact | Sequence[Fact], at: str = "06:50", day: str = cast.DAY) -> Asked:
    """The question of the cast's chain."""
    record = cast.record(cast.SETUP, *facts)
    moment = datetime.fromisoformat(cast.time(at, day=day))
    return ask(record, chain_of(record), at=moment, rules=RULES)


def codes(found: Asked) -> list[str]:
    """Cautions of a question."""
    return [caution.code for caution in found.cautions]


def test_a_morning_starts_from_what_was_kept_and_says_so() -> None:
    """Every figure comes back as it was kept, and the crew is told where it comes from."""
    found = asked(kept())
    assert found.question.earlier == EARLIER
    assert codes(found) == ["past_days_used"]
    assert found.cautions[0].data == {"days": 7, "day": cast.DAY}


def test_the_prior_holds_the_past_at_its_share() -> None:
    """Belief before the first strip is the mixture: the past never stands alone."""
    weights = [
        weight for weight, _ in Morning(asked(kept(), at="07:05").question).belief.prior.parts
    ]
    assert weights == [pytest.approx(1 - EARLIER_SHARE), EARLIER_SHARE]


def test_without_a_fact_nothing_changes() -> None:
    """No past, no word of it."""
    found = asked()
    assert found.question.earlier is None
    assert found.cautions == ()


@pytest.mark.parametrize(
    "other",
    [
        {"machine": cast.OTHER_MACHINE},
        {"pairing": cast.OTHER_PAIRING},
        {"counts_from": TOMORROW},
        {"at": "06:51"},
    ],
    ids=["machine", "pairing", "tomorrow", "later"],
)
def test_what_is_meant_for_another_does_not_count(other: dict[str, Any]) -> None:
    """Another machine or pairing, a day to come, a fact kept afterwards: all of no use here."""
    assert asked(kept(**other)).question.earlier is None


def test_another_nozzle_makes_it_void_and_the_same_width_does_not() -> None:
    """All that was learned of heat belongs to a nozzle of that width; unknown fits any."""
    for width, counts in (("40 mm", True), ("20 mm", False)):
        setup = cast.fact("nozzle_setup", at="06:10", machine=cast.MACHINE, nozzle_width="40 mm")
        now = cast.fact("nozzle_setup", at="06:48", machine=cast.MACHINE, nozzle_width=width)
        found = asked(setup, now, kept(nozzle_setup=setup))
        assert (found.question.earlier is not None) is counts
    assert asked(kept(nozzle_setup=None)).question.earlier == EARLIER


def test_of_two_the_one_for_the_newer_day_counts() -> None:
    """A fact for a newer morning wins over one typed later for an older morning."""
    newer = kept("05:00", expects={**_told(), "bottom": 640.0})
    older = kept("05:30", counts_from="2026-05-01")
    found = asked(newer, older).question.earlier
    assert found is not None
    assert found.bottom == 640.0


def test_a_withdrawn_fact_counts_no_more() -> None:
    """What is taken back is as good as never said."""
    fact = kept()
    back = cast.fact(
        "correction", at="06:00", of=fact, field="withdrawn", old=False, new=True, reason="mistyped"
    )
    assert asked(fact).question.earlier == EARLIER
    assert asked(fact, back).question.earlier is None


def _told() -> dict[str, Any]:
    told: dict[str, Any] = body_of(
        Expected(cast.MACHINE, cast.PAIRING, None, EARLIER, days=7), day=cast.DAY
    )["expects"]
    return told


@pytest.mark.parametrize(
    "expects",
    [
        {},
        [],
        {"bottom": 650.0},
        {**_told(), "more": 1.0},
        {**_told(), "bottom": "650"},
        {**_told(), "bottom": True},
        {**_told(), "bottom": 10.0},
        {**_told(), "bottom": None},
        {**_told(), "width_sd": -1.0},
    ],
)
def test_what_cannot_be_read_is_left_out_with_a_word(expects: Any) -> None:
    """A foreign or damaged fact never stops a morning."""
    found = asked(kept(expects=expects))
    assert found.question.earlier is None
    assert codes(found) == ["past_days_unread"]


def past_of(record: Record, before: str = "9999") -> Past:
    """Columns of one invented record."""
    return past_welds([TestedJobs({cast.JOB: record}, [*each_tested(record)])], invented=True,
                      before=before)  # fmt: skip


def test_the_week_teaches_its_own_next_morning() -> None:
    """Machine and pairing that welded get an expectation; it reads back as it was made."""
    week = Record(week_facts())
    past = past_of(week)
    found = list(expectations(week, past, learn(past.welds), day="2026-05-23"))
    assert [one.machine["number"] for one in found] == ["7", "3"]
    for one in found:
        assert one.days == 6
        fact = cast.fact("past_days", at="2026-05-23T05:00:00-05:00", job=week.all("job")[0].job,
                         **body_of(one, day="2026-05-23"))  # fmt: skip
        record = Record([*week_facts(), fact])
        chain = Chain(one.machine.id, "", pairing=one.pairing.id)
        at = datetime.fromisoformat("2026-05-23T07:00:00-05:00")
        earlier, _ = expected_by(record, chain, at=at)
        assert earlier == one.earlier
        assert not is_news(record, one, day="2026-05-23")
        assert is_news(week, one, day="2026-05-23")


def test_a_figure_that_moved_is_news() -> None:
    """A kelvin is the least that is worth a fact."""
    record = cast.record(cast.SETUP, kept())
    for bottom, news in ((EARLIER.bottom + 0.9, False), (EARLIER.bottom + 1.1, True)):
        moved = Earlier(**{**_told(), "bottom": bottom})
        one = Expected(cast.MACHINE, cast.PAIRING, cast.NOZZLE, moved, days=8)
        assert is_news(record, one, day=cast.DAY) is news


def test_the_day_itself_does_not_teach_its_morning() -> None:
    """Strips of today would count twice: only earlier days are learnt from."""
    week = Record(week_facts())
    days = sorted({weld.day for weld in week.all("test_weld")})
    whole, shorter = past_of(week), past_of(week, before=days[-1])
    today = sum(weld.day == days[-1] for weld in week.all("test_weld"))
    assert len(whole.welds.day) - len(shorter.welds.day) == today > 0
    assert len(past_of(week, before=days[0]).welds.day) == 0


def test_a_job_where_nobody_welded_yet_gets_every_two() -> None:
    """On a new job each machine may meet each pairing."""
    week = Record(week_facts())
    past = past_of(week)
    record = cast.record(cast.SETUP)
    found = list(expectations(record, past, learn(past.welds), day=cast.DAY))
    chains = Chains(record)
    machines = {chains.first(fact.id) for fact in record.all("machine")}
    pairings = {chains.first(fact.id) for fact in record.all("pairing")}
    assert len(found) == len(machines) * len(pairings) > 1


def test_too_few_days_let_expect_nothing() -> None:
    """Two days cannot be checked against each other."""
    week = Record(week_facts())
    days = sorted({weld.day for weld in week.all("test_weld")})
    past = past_of(week, before=days[2])
    assert list(expectations(week, past, learn(past.welds), day=days[2])) == []


def test_an_expectation_no_window_has_cannot_be_made() -> None:
    """The limits of an earlier day hold for a learnt one too."""
    with pytest.raises(OutOfRange):
        Earlier(**{**_told(), "bottom": 100.0})


def test_welds_of_unnamed_sheets_do_not_hide_the_pairings() -> None:
    """Where the welds so far name no pairing, every two may still come."""
    week = Record(week_facts())
    past = past_of(week)
    nameless = cast.welded(1, "860 f", "fff", pairing=None)
    record = cast.record(cast.SETUP, nameless)
    found = list(expectations(record, past, learn(past.welds), day=cast.DAY))
    assert len(found) == len(list(expectations(cast.record(cast.SETUP), past, learn(past.welds),
                                               day=cast.DAY)))  # fmt: skip
