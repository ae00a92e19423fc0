"""What a record proves by counting: planned cuts, test welds, joints and probed feet, apart."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

import pytest
import scipy.stats
from tests import cast

from lapwright.job.closingcounts import Counted, counted
from lapwright.job.closingday import Tester
from lapwright.job.crewday import crew_day
from lapwright.job.testing import limits_of
from lapwright.readings.rules import read_rule_book
from lapwright.record.fact import Fact

FOOT = 0.3048
RULES = read_rule_book([])


def count(*facts: Fact | Sequence[Fact]) -> Counted:
    """What the cast's set-up and more prove."""
    record = cast.record(cast.SETUP, *facts)
    work = crew_day(
        record, at=datetime.fromisoformat(cast.time("23:00", day="2026-05-08")), rules=RULES
    )
    tester = Tester(record, limits_of(RULES))
    return counted(record, work, tester, cuts=[tester.of(cut) for cut in record.all("cut")])


def cut(number: str, pull: str | None, **more: Any) -> list[Fact]:
    """A cut with one strip, or with none yet."""
    taken = cast.fact("cut", at="10:00", number=number, seam="A-S001", station="9 ft", **more)
    strips = [] if pull is None else [
        cast.fact("strip", at="10:15", of=taken, number="1", pull=pull)
    ]  # fmt: skip
    return [taken, *strips]


def probed(end: str, *, at: str = "09:00", day: str = cast.DAY, seam: str = "A-S001") -> Fact:
    """A walk with the probe."""
    return cast.fact("probe", at=at, day=day, seam=seam, start="0 ft", end=end, prober=cast.LUZ)


def void(number: int, *, day: str = cast.DAY, **more: Any) -> Fact:
    """A void that the probe found."""
    return cast.fact("defect", at="09:30", day=day, number=f"V{number}", seam="A-S001",
                     station="9 ft", **more)  # fmt: skip


RUN = cast.ran("A-S001", "0 ft", "500 ft", at="08:00")


def test_of_nothing_nothing_is_proved() -> None:
    """Without a cut, weld, joint or probe there is no figure, not a figure of nought."""
    found = count()
    assert (found.cuts, found.tests, found.joints, found.tally) == (None, None, None, None)
    assert (found.probing, found.aimed, found.aimed_bad) == ((), 0, 0)


def test_planned_cuts_prove_a_share_by_the_exact_binomial() -> None:
    """Twenty planned cuts, one of them bad: the one-sided 95 % Clopper-Pearson limit of scipy."""
    cuts = [cut(f"C{n}", "cold" if n == 7 else "full") for n in range(20)]
    found = count(cuts[7], *[each for place, each in enumerate(cuts) if place != 7])
    assert found.cuts is not None
    assert (found.cuts.asked.taken, found.cuts.asked.bad) == (20, 1)
    outside = scipy.stats.beta.ppf(0.95, 2, 19)
    assert found.cuts.share == pytest.approx(outside, rel=1e-6)


def test_a_cut_that_looked_for_trouble_is_no_sample() -> None:
    """Cuts aimed at trouble are counted apart, the bad among them, and prove no share."""
    found = count(cut("C1", "cold", why="trace"), cut("C2", "full", why="trace"),
                  cut("C3", "full"), cut("C4", None, why="trace"))  # fmt: skip
    assert (found.aimed, found.aimed_bad) == (3, 1)
    assert found.cuts is not None
    assert (found.cuts.asked.taken, found.cuts.asked.bad) == (1, 0)


def test_what_has_no_verdict_does_not_count() -> None:
    """A cut without a strip is neither good nor bad; if all are so, there is no share."""
    assert count(cut("C1", None)).cuts is None
    found = count(cut("C1", None), cut("C2", "full")).cuts
    assert found is not None
    assert found.asked.taken == 1


def test_welds_that_sought_the_window_do_not_count() -> None:
    """A trial may well fail; welds that confirm, re-test or have no purpose count, good and bad."""
    found = count(
        cast.welded(1, "600 f", "ccc", purpose="search", at="07:05"),
        cast.welded(2, "700 f", "fff", purpose="start", at="07:10"),
        cast.welded(3, "860 f", "fff", purpose="confirm", at="07:20"),
        cast.welded(4, "860 f", "fff", at="07:30"),
        cast.welded(5, "860 f", "fcf", purpose="trigger", at="07:40"),
        cast.welded(6, "860 f", "", purpose="trigger", at="07:50"),
    ).tests
    assert found is not None
    assert (found.asked.taken, found.asked.bad) == (3, 1)


def joint(number: int, **more: Any) -> Fact:
    """A T-joint."""
    return cast.fact("t_joint", number=f"T{number}", creased=True, **more)


def test_joints_are_counted_among_all_that_are_known() -> None:
    """Five of eight probed, one bad: the exact limit of drawing without putting back."""
    facts = [joint(n, result="defects" if n == 0 else "none") for n in range(5)]
    found = count(*facts, *[joint(n, result=None) for n in range(5, 8)]).joints
    assert found is not None
    assert (found.asked.taken, found.asked.bad, found.asked.places) == (5, 1, 8)
    possible = [bad for bad in range(1, 5)  # as many as leave four good ones
                if scipy.stats.hypergeom.cdf(1, 8, bad, 5) > 0.05]  # fmt: skip
    assert found.places == max(possible)
    assert count(joint(1, result=None)).joints is None


def test_probed_feet_bound_the_voids_that_are_left() -> None:
    """Two voids on 400 ft: the 95 % Poisson limit, and more if one void in five is overseen."""
    found = count(RUN, probed("400 ft"), void(1), void(2), void(3, found_by="inspector"))
    limit = scipy.stats.chi2.ppf(0.95, 2 * 3) / 2
    assert [each.rate for each in found.probing] == pytest.approx(
        [limit / (400 * FOOT), limit / (400 * FOOT) / 0.8], rel=1e-6
    )
    assert [each.asked.noticed for each in found.probing] == [1.0, 0.8]
    assert [each.asked.voids for each in found.probing] == [2, 2]


def test_voids_without_a_probed_foot_prove_nothing() -> None:
    """Where nobody probed there is no length to hold voids against, and no chart."""
    found = count(RUN, void(1))
    assert (found.probing, found.tally) == ((), None)


def test_finds_are_held_against_the_feet_of_their_day() -> None:
    """Each foot belongs to the day of its newest probe, each void to the day it was found."""
    found = count(
        RUN,
        probed("200 ft", day="2026-05-05"),
        probed("50 ft", day="2026-05-07"),
        void(1, day="2026-05-05"),
        void(2, day="2026-05-05"),
        void(3, day="2026-05-07", found_by="cut"),
        void(4, day="2026-05-06"),
    ).tally
    assert found is not None
    (chart,) = found.charts
    assert (chart.kind, chart.days) == ("rate", ("2026-05-05", "2026-05-07"))
    assert [stretch.found for stretch in chart.stretches] == [2, 0]
    sizes = [stretch.size / FOOT for stretch in chart.stretches]
    assert sizes == pytest.approx([150, 50])
