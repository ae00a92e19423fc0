"""Spans obey set arithmetic: a seam is parted exactly, nothing lost, nothing twice."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from lapwright.roof.station import Span, cover, gaps, partition, subtract, total, union

# Whole metres, so that every single metre can be asked for by itself.
spans = st.lists(
    st.tuples(st.integers(0, 59), st.integers(1, 20)).map(lambda pair: Span(pair[0], sum(pair))),
    max_size=8,
)


def _feet(of: object) -> set[int]:
    return {foot for foot in range(100) if any(span.has(foot) for span in of)}  # type: ignore[attr-defined]


@given(spans)
def test_union_holds_the_same_feet_once(many: list[Span]) -> None:
    """The union has every foot of the spans, and its stretches never touch."""
    joined = union(many)
    assert _feet(joined) == _feet(many)
    assert total(many) == len(_feet(many))
    assert all(first.end < second.start for first, second in pairwise(joined))


@given(spans, spans)
def test_subtract_leaves_what_the_others_lack(many: list[Span], others: list[Span]) -> None:
    """A foot is left exactly when it was there and was not taken."""
    assert _feet(subtract(many, others)) == _feet(many) - _feet(others)


@given(spans, spans)
def test_cover_and_gaps_part_a_seam(runs: list[Span], seam: list[Span]) -> None:
    """Covered and uncovered feet make up the seam and share nothing."""
    covered, open_ = cover(runs, within=seam), gaps(runs, within=seam)
    assert _feet(covered) == _feet(runs) & _feet(seam)
    assert _feet(open_) == _feet(seam) - _feet(runs)
    assert union([*covered, *open_]) == union(seam)


@given(spans, spans)
def test_partition_cuts_a_seam_exactly(runs: list[Span], seam: list[Span]) -> None:
    """Pieces follow each other without overlap, are the seam, and each foot has its layers."""
    pieces = partition(list(zip(runs, range(len(runs)), strict=True)), within=seam)
    assert all(first.end <= second.start for (first, _), (second, _) in pairwise(pieces))
    assert union(piece for piece, _ in pieces) == union(seam)
    for piece, layers in pieces:
        for foot in _feet([piece]):
            assert list(layers) == [n for n, run in enumerate(runs) if run.has(foot)]


@given(spans, spans, st.randoms())
def test_order_of_arrival_changes_nothing(runs: list[Span], seam: list[Span], draw: object) -> None:
    """What is covered does not depend on which fact came first."""
    shuffled = [*runs]
    draw.shuffle(shuffled)  # type: ignore[attr-defined]
    assert cover(shuffled, within=seam) == cover(runs, within=seam)
