"""What the cuts, test welds, T-joints and probed feet of a record prove by counting alone.

Each is an answer of its own: a probe finds open lips, a cut finds bond, a test weld speaks of its
hour. They are never added up.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from lapwright.job.closingday import Tested, Tester
from lapwright.job.crewday import CrewDay
from lapwright.job.proving import Answers, Asked, prove
from lapwright.job.tally import Day, Tally, tally
from lapwright.proof.verdicts import is_trial
from lapwright.record.replay import Record

NOTICED = (1.0, 0.8)  # shares of voids that a prober notices; unknown without blind trials


@dataclass(frozen=True)
class Counted:
    """What counting proves; None where nothing was counted.

    Parameters
    ----------
    cuts : Answers or None
        Of planned cuts that have a verdict.
    aimed, aimed_bad : int
        Cuts taken where trouble was looked for, and the bad ones: no sample of the roof, so no
        share follows from them.
    tests : Answers or None
        Of test welds that have a verdict and did not only seek the window.
    joints : Answers or None
        Of T-joints that were probed, among all that are known.
    probing : tuple of Answers
        Of probed seam, when the prober notices all and when four in five.
    tally : Tally or None
        Finds of the probe by day.
    """

    cuts: Answers | None
    aimed: int
    aimed_bad: int
    tests: Answers | None
    joints: Answers | None
    probing: tuple[Answers, ...]
    tally: Tally | None


def counted(record: Record, work: CrewDay, tester: Tester, *, cuts: Sequence[Tested]) -> Counted:
    """What the record proves by counting.

    Parameters
    ----------
    record : Record
        Facts as they hold.
    work : CrewDay
        Any day of it; only what is the whole job's is read.
    tester : Tester
        Of the same record.
    cuts : sequence of Tested
        All cuts.
    """
    planned = [cut for cut in cuts if cut.fact["why"] == "planned"]
    aimed = [cut for cut in cuts if cut.fact["why"] != "planned"]
    tests = [tester.of(weld) for weld in record.all("test_weld") if not is_trial(weld)]
    looked = [
        joint
        for joint in work.joints
        if joint.fact is not None and joint.fact["result"] is not None
    ]
    bad = sum(1 for joint in looked if joint.fact is not None and joint.fact["result"] != "none")
    return Counted(
        cuts=_share(planned),
        aimed=len(aimed),
        aimed_bad=sum(1 for cut in aimed if cut.result.verdict == "failed"),
        tests=_share(tests),
        joints=prove(Asked(taken=len(looked), bad=bad, places=len(work.joints)))
        if looked
        else None,
        probing=_probing(record, work),
        tally=_tally(record, work),
    )


def _share(tested: Iterable[Tested]) -> Answers | None:
    verdicts = [one.result.verdict for one in tested if one.result.verdict != "unfinished"]
    if not verdicts:
        return None
    return prove(Asked(taken=len(verdicts), bad=verdicts.count("failed")))


def _probing(record: Record, work: CrewDay) -> tuple[Answers, ...]:
    probed = sum(each.span.length for each in work.trace if each.probed is not None)
    if probed <= 0:
        return ()
    voids = sum(1 for defect in record.all("defect") if defect["found_by"] == "probe")
    return tuple(prove(Asked(probed=probed, voids=voids, noticed=noticed)) for noticed in NOTICED)


def _tally(record: Record, work: CrewDay) -> Tally | None:
    """Finds by the day they were found, on the feet whose newest probe is that day's."""
    lengths: dict[str, float] = {}
    for each in work.trace:
        if each.probed is not None:
            lengths[each.probed.day] = lengths.get(each.probed.day, 0.0) + each.span.length
    finds: dict[str, int] = {}
    for defect in record.all("defect"):
        if defect["found_by"] == "probe":
            finds[defect.day] = finds.get(defect.day, 0) + 1
    days = [
        Day(day, "", "", voids=finds.get(day, 0), probed=lengths[day], bad=0, strips=0)
        for day in sorted(lengths)
    ]
    return tally(days) if days else None
