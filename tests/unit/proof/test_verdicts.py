"""Verdicts of test welds: the worse strip governs, silence is no pass.

Grades and what they mean: docs of the trade (a strip passes when it tears to the scrim over the
whole band and no heat sign was seen); "any yes counts as too hot" and "too few strips are not
finished" are our choice, no source.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests import cast

from lapwright.proof.verdicts import Limits, Result, Results, heat_signs, is_trial
from lapwright.record.fact import Fact

LIMITS = Limits(
    strips=2, fused_width=0.0381, fused_width_hand=0.0508, grade_only=True, probe_cooling=1200.0
)


def result(facts: list[Fact], limits: Limits = LIMITS) -> Result:
    """Verdict of the first fact, a test weld or a cut."""
    return Results(cast.record(cast.SETUP, facts), limits).of(facts[0])


@pytest.mark.parametrize(
    ("pulls", "heat", "verdict", "reasons"),
    [
        ("ff", "none", "passed", ()),
        ("ff", None, "passed", ()),
        ("fc", "none", "failed", ("cold",)),
        ("fp", "none", "failed", ("partial",)),
        ("kk", "none", "failed", ("skin",)),
        ("fs", "none", "failed", ("split",)),
        ("ff", "smoke", "failed", ("heat",)),
        ("", "glaze", "failed", ("heat",)),
        ("f", "none", "unfinished", ("few_strips",)),
        ("fx", "none", "unfinished", ("few_strips",)),
        ("ffb", "none", "unfinished", ("break",)),
        ("", "none", "unfinished", ("few_strips",)),
    ],
)
def test_the_worse_strip_and_any_heat_sign_govern(
    pulls: str, heat: str | None, verdict: str, reasons: tuple[str, ...]
) -> None:
    """A weld passes only with enough full strips, and never with a sign of heat."""
    found = result(cast.welded(1, "860 f", pulls, heat=heat))
    assert (found.verdict, found.reasons) == (verdict, reasons)


def test_a_band_narrower_than_the_rule_fails() -> None:
    """1.4 in fails where 1.5 in is asked, 1.5 in passes; of a hand weld 2 in are asked."""
    welds = cast.welded(1, "860 f", "ff")
    narrow = [
        cast.fact("strip", at="07:30", of=welds[0], number=str(n), pull="full", band=f"{band} in")
        for n, band in ((3, 1.5), (4, 1.4))
    ]
    assert result([*welds, narrow[0]]).verdict == "passed"
    assert result([*welds, *narrow]).reasons == ("narrow",)
    by_hand = cast.welded(1, "860 f", "ff", machine=cast.GUN)  # the cast's bands are 1.6 in
    assert result(by_hand).reasons == ("narrow",)


def test_a_band_not_measured_passes_only_where_the_rule_lets_it() -> None:
    """Without a width the verdict is "grade only", or it waits."""
    weld = cast.welded(1, "860 f", "")
    strips = [
        cast.fact("strip", at="07:30", of=weld[0], number=n, pull="full", band=None) for n in "12"
    ]
    assert result([*weld, *strips]).verdict == "passed"
    strict = replace(LIMITS, grade_only=False)
    assert result([*weld, *strips], strict).reasons == ("no_width",)


def test_an_uneven_band_fails() -> None:
    """Full strips with scrim on one edge point at nozzle or track: no pass."""
    weld = cast.welded(1, "860 f", "ff")
    uneven = cast.fact(
        "strip", at="07:30", of=weld[0], number="3", pull="full", evenness="one_edge"
    )
    assert result([*weld, uneven]).reasons == ("uneven",)


def test_of_two_graders_the_worse_grade_stands() -> None:
    """The second look at strip 1 lowers the weld, and cannot raise it."""
    weld = cast.welded(1, "860 f", "ff")
    cold = cast.fact("strip", at="07:40", of=weld[0], number="1", pull="cold", second_look=True)
    assert result([*weld, cold]).verdict == "failed"
    weld = cast.welded(1, "860 f", "cf")
    full = cast.fact("strip", at="07:40", of=weld[0], number="1", pull="full", second_look=True)
    assert result([*weld, full]).verdict == "failed"


def test_an_invalid_strip_says_nothing() -> None:
    """A strip that slipped counts for neither side and is cut again under its number."""
    weld = cast.welded(1, "860 f", "xf")
    again = cast.fact("strip", at="07:40", of=weld[0], number="1", pull="full")
    assert result([*weld, again]).verdict == "passed"


def test_not_looked_is_not_no() -> None:
    """No sign means all seven and the corner looked at; one left out leaves it open."""
    whole = cast.welded(1, "860 f", "f")[1]
    assert heat_signs([whole]) == "none"
    assert heat_signs([]) is None
    for name in ("smoke", "brittle", "corner"):
        unseen = replace(whole, body={**whole.body, name: None})
        assert heat_signs([unseen]) is None
        assert heat_signs([unseen, whole]) == "none"
    assert heat_signs([replace(whole, body={"smoke": True})]) == "signs"


@pytest.mark.parametrize(
    ("corner", "heat"),
    [("holds", "none"), ("opens", "none"), ("bare_scrim", "signs"), ("grey_core", "signs")],
)
def test_a_hot_corner_tells_of_the_top(corner: str, heat: str) -> None:
    """Bare scrim or a grey core in the corner pulled hot is a sign of heat, opening is none."""
    assert result(cast.welded(1, "860 f", "ff", corner=corner)).heat == heat


def test_a_cut_needs_one_valid_strip() -> None:
    """A cut passes on one full strip and fails on one bad one."""
    cut = cast.fact("cut", at="10:00", number="C1", seam="A-S001", station="5 ft")
    strip = cast.fact("strip", at="10:20", of=cut, number="1", pull="full")
    assert result([cut]).verdict == "unfinished"
    assert result([cut, strip]).verdict == "passed"
    skin = cast.fact("strip", at="10:20", of=cut, number="2", pull="skin")
    assert result([cut, strip, skin]).verdict == "failed"


def test_only_a_search_is_a_trial() -> None:
    """A weld that seeks the window may fail; one that confirms or has no purpose may not."""
    trial = {p: is_trial(cast.welded(1, "700 f", "c", purpose=p)[0]) for p in
             ("start", "search", "confirm", "trigger", "repeat", None)}  # fmt: skip
    assert [p for p, is_one in trial.items() if is_one] == ["start", "search"]
