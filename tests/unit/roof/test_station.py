"""Spans and ids: what shares a foot, what is left, what things are called."""

from __future__ import annotations

import math

import pytest

from lapwright.errors import LapwrightError
from lapwright.roof.station import (
    Span,
    cover,
    detail_id,
    end_lap_id,
    gaps,
    partition,
    sheet_id,
    side_lap_id,
    subtract,
    t_joint_id,
    total,
    union,
)


def test_spans_side_by_side_share_no_foot() -> None:
    """A span holds its start and not its end, so a foot between two belongs to one."""
    first, second = Span(0.0, 10.0), Span(10.0, 20.0)
    assert not first.meets(second)
    assert (first.has(10.0), second.has(10.0)) == (False, True)
    assert first.meets(Span(9.9, 10.0))


@pytest.mark.parametrize(("start", "end"), [(5.0, 5.0), (6.0, 5.0), (math.nan, 5.0), (0, math.nan)])
def test_span_without_length_is_refused(start: float, end: float) -> None:
    """A span runs upwards; nothing else is a span, not-a-number included."""
    with pytest.raises(LapwrightError, match="span_backwards"):
        Span(start, end)


def test_union_joins_what_touches() -> None:
    """Spans that touch or overlap become one, others stay apart, in order."""
    spans = [Span(8.0, 9.0), Span(0.0, 2.0), Span(2.0, 3.0), Span(1.0, 2.5)]
    assert union(spans) == (Span(0.0, 3.0), Span(8.0, 9.0))
    assert union([]) == ()


def test_subtract_cuts_holes_and_ends() -> None:
    """What is taken away from the middle leaves two pieces, from all nothing."""
    spans = [Span(0.0, 10.0), Span(20.0, 30.0)]
    taken = [Span(-1.0, 1.0), Span(4.0, 5.0), Span(9.0, 21.0)]
    assert subtract(spans, taken) == (Span(1.0, 4.0), Span(5.0, 9.0), Span(21.0, 30.0))
    assert subtract(spans, [Span(-5.0, 50.0)]) == ()


def test_cover_and_gaps_are_the_two_parts_of_a_seam() -> None:
    """Feet of a seam are either covered or a gap; what lies beyond the seam is neither."""
    seam = [Span(0.0, 10.0), Span(12.0, 20.0)]
    runs = [Span(-3.0, 4.0), Span(9.0, 13.0), Span(19.0, 40.0)]
    assert cover(runs, within=seam) == (
        Span(0.0, 4.0), Span(9.0, 10.0), Span(12.0, 13.0), Span(19.0, 20.0),
    )  # fmt: skip
    assert gaps(runs, within=seam) == (Span(4.0, 9.0), Span(13.0, 19.0))


def test_total_counts_each_foot_once() -> None:
    """A foot welded twice is one foot."""
    assert total([Span(0.0, 10.0), Span(2.0, 12.0), Span(20.0, 21.0)]) == 13.0


def test_partition_names_all_layers_in_their_order() -> None:
    """A re-weld lies over the run: the piece has both, the later one last."""
    found = partition(
        [(Span(5.0, 8.0), "again"), (Span(0.0, 10.0), "run"), (Span(7.0, 9.0), "repair")],
        within=[Span(2.0, 12.0)],
    )
    assert found == (
        (Span(2.0, 5.0), ("run",)),
        (Span(5.0, 7.0), ("again", "run")),
        (Span(7.0, 8.0), ("again", "run", "repair")),
        (Span(8.0, 9.0), ("run", "repair")),
        (Span(9.0, 10.0), ("run",)),
        (Span(10.0, 12.0), ()),
    )


def test_partition_keeps_the_gap_of_a_seam() -> None:
    """Where a curb parts the seam there is no piece."""
    found = partition([(Span(0.0, 30.0), "run")], within=[Span(0.0, 10.0), Span(12.0, 20.0)])
    assert [piece for piece, _ in found] == [Span(0.0, 10.0), Span(12.0, 20.0)]


def test_ids_are_those_of_the_station_law() -> None:
    """Ids as painted: A-017, A-017-2, A-S017, A-E017-2, A-D045, A-T-S017-100."""
    assert sheet_id("A", 17) == "A-017"
    assert sheet_id("A", 17, number=2) == "A-017-2"
    assert side_lap_id("A", 17) == "A-S017"
    assert end_lap_id("A", 17, number=2) == "A-E017-2"
    assert detail_id("A", 45) == "A-D045"
    assert t_joint_id("A-S017", station=100 * 0.3048) == "A-T-S017-100"
    assert t_joint_id("A-S017", station=4.4 * 0.3048) == "A-T-S017-004"
