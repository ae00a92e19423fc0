"""Agreement and practice mornings: what holds for any grades, any seed, any setting."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lapwright.job.hiddensite import Luck, Setting, hidden_site
from lapwright.job.practice import Tried, practise
from lapwright.proof.agreement import cohen, fleiss

TABLES = st.integers(2, 5).flatmap(
    lambda size: st.lists(
        st.lists(st.integers(0, 30), min_size=size, max_size=size), min_size=size, max_size=size
    )
)
SEEDS = st.integers(0, 1_000_000)
SETTINGS = st.builds(Setting, st.floats(400.0, 950.0), st.floats(0.01, 0.15))


def luck_of(seed: int) -> Luck:
    """Luck of a morning."""
    return lambda number: np.random.default_rng([seed, number])


@given(table=TABLES, weighted=st.booleans())
def test_an_index_knows_no_first_and_no_second(table: list[list[int]], weighted: bool) -> None:
    """Changing places changes nothing; the value lies within its limits, and they within 1."""
    one = cohen(tuple(map(tuple, table)), weighted=weighted)
    other = cohen(tuple(zip(*table, strict=True)), weighted=weighted)
    if one is None or other is None:
        assert one is other
        return
    assert one.value == pytest.approx(other.value, abs=1e-9)
    assert one.low == pytest.approx(other.low, abs=1e-6)
    assert -1 <= one.low <= one.value + 1e-9
    assert one.value - 1e-9 <= one.high <= 1


@given(table=TABLES, order=st.randoms())
def test_names_of_grades_do_not_matter(table: list[list[int]], order: object) -> None:
    """The plain index is the same in whatever order the grades are written."""
    places = list(range(len(table)))
    order.shuffle(places)  # type: ignore[attr-defined]
    mixed = tuple(tuple(table[row][column] for column in places) for row in places)
    one, other = cohen(tuple(map(tuple, table))), cohen(mixed)
    if one is None or other is None:
        assert one is other
        return
    assert one.value == pytest.approx(other.value, abs=1e-9)


@given(table=TABLES, times=st.integers(2, 9))
def test_more_of_the_same_only_narrows(table: list[list[int]], times: int) -> None:
    """The same shares from more strips: the same index, limits no wider."""
    one = cohen(tuple(map(tuple, table)))
    more = cohen(tuple(tuple(times * count for count in row) for row in table))
    if one is None or more is None:
        assert one is more
        return
    assert more.value == pytest.approx(one.value, abs=1e-9)
    assert more.low >= one.low - 1e-9


@given(st.lists(st.permutations([3, 0, 0]) | st.permutations([2, 1, 0]), min_size=1, max_size=20))
def test_two_of_three_alike_is_never_full_agreement(counts: list[list[int]]) -> None:
    """Fleiss' index is 1 only where all graders agree at every strip."""
    found = fleiss(counts)
    if found is not None:
        assert -1 <= found <= 1 + 1e-12
        assert (found == pytest.approx(1)) == all(max(count) == 3 for count in counts)


@settings(max_examples=60)
@given(seed=SEEDS, setting=SETTINGS, hotter=st.floats(0.0, 60.0))
def test_hotter_never_cools_the_lap(seed: int, setting: Setting, hotter: float) -> None:
    """On any hidden site, more air heats no less, and more speed heats no more."""
    site = hidden_site(luck_of(seed)(0))
    weather = site.early
    more = Setting(min(setting.air + hotter, 999.0), setting.speed)
    here = site.heat(setting, weather)
    assert site.heat(more, weather) >= here - 1e-9
    if min(setting.air, site.max_air) > weather.sheet:
        assert site.heat(Setting(setting.air, setting.speed * 1.2), weather) <= here + 1e-9
    assert 0 <= site.sound_share(setting, weather) <= 1


@settings(max_examples=60)
@given(seed=SEEDS, settings_=st.lists(SETTINGS, min_size=1, max_size=6), looked=st.booleans())
def test_a_morning_is_its_seed_and_its_settings(
    seed: int, settings_: list[Setting], looked: bool
) -> None:
    """Asked again weld by weld it shows the same; what nobody looked at stays unknown."""
    tried = [Tried(setting, looked) for setting in settings_]
    whole = practise(tried, luck=luck_of(seed))
    assert practise(tried[:-1], luck=luck_of(seed)).welds == whole.welds[:-1]
    heats = {strip.overheat for weld in whole.welds for strip in weld.strips}
    assert heats <= ({"none", "signs"} if looked else {None})


@settings(max_examples=60)
@given(seed=SEEDS)
def test_the_window_lies_within_its_edges(seed: int) -> None:
    """Sound begins above the bottom and ends below the top, whatever was drawn."""
    site = hidden_site(luck_of(seed)(0))
    assert site.bottom < site.sound_from
    assert site.sound_to < site.top
    for weather in (site.early, site.late):
        middle = (site.sound_from + site.sound_to) / 2
        air = site.air_for(middle, speed=0.05, weather=weather)
        if site.sound_from < site.sound_to and 300 < air < site.max_air:
            assert site.is_sound(Setting(air, 0.05), weather)
