"""Ids, and stations along a seam: half-open spans and what can be done with them.

A span holds its start and not its end, so that spans side by side share no foot and leave none
out. A station is the distance from the marked origin end of the seam, whichever way the machine
ran. [m]
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import TypeVar

from lapwright.errors import LapwrightError

FOOT = 0.3048  # m; a T-joint is painted with its whole feet, whatever units a reader has chosen

Layer = TypeVar("Layer", bound=Hashable)


@dataclass(frozen=True, order=True)
class Span:
    """A stretch of seam from a station up to, and without, another.

    Parameters
    ----------
    start, end : float
        Stations; the end lies beyond the start. [m]

    Raises
    ------
    LapwrightError
        ``span_backwards``: no length, or a station that is no number.

    Examples
    --------
    >>> span = Span(10.0, 40.0)
    >>> span.length, span.has(10.0), span.has(40.0)
    (30.0, True, False)
    """

    start: float
    end: float

    def __post_init__(self) -> None:
        if not self.start < self.end:
            raise LapwrightError("span_backwards", start=self.start, end=self.end)

    @property
    def length(self) -> float:
        """From start to end. [m]"""
        return self.end - self.start

    def has(self, station: float) -> bool:
        """Does the station lie in the span."""
        return self.start <= station < self.end

    def meets(self, other: Span) -> bool:
        """Do both share a foot; spans side by side do not."""
        return self.start < other.end and other.start < self.end


def union(spans: Iterable[Span]) -> tuple[Span, ...]:
    """The stretches that the spans cover together, in order, none touching the next.

    Examples
    --------
    >>> union([Span(20.0, 30.0), Span(0.0, 10.0), Span(10.0, 12.0)])
    (Span(start=0.0, end=12.0), Span(start=20.0, end=30.0))
    """
    joined: list[Span] = []
    for span in sorted(spans):
        if joined and span.start <= joined[-1].end:
            joined[-1] = Span(joined[-1].start, max(joined[-1].end, span.end))
        else:
            joined.append(span)
    return tuple(joined)


def subtract(spans: Iterable[Span], others: Iterable[Span]) -> tuple[Span, ...]:
    """What is left of the spans where none of the others lies.

    Examples
    --------
    >>> subtract([Span(0.0, 10.0)], [Span(4.0, 6.0)])
    (Span(start=0.0, end=4.0), Span(start=6.0, end=10.0))
    """
    taken = union(others)
    return tuple(left for span in union(spans) for left in _without(span, taken))


def cover(spans: Iterable[Span], *, within: Iterable[Span]) -> tuple[Span, ...]:
    """The part of a seam that the spans cover; ``gaps`` is the rest.

    Examples
    --------
    >>> cover([Span(5.0, 8.0), Span(7.0, 20.0)], within=[Span(0.0, 10.0)])
    (Span(start=5.0, end=10.0),)
    """
    seam = union(within)
    return subtract(seam, subtract(seam, spans))


def gaps(spans: Iterable[Span], *, within: Iterable[Span]) -> tuple[Span, ...]:
    """The part of a seam that no span covers.

    Examples
    --------
    >>> gaps([Span(5.0, 8.0)], within=[Span(0.0, 10.0)])
    (Span(start=0.0, end=5.0), Span(start=8.0, end=10.0))
    """
    return subtract(within, spans)


def total(spans: Iterable[Span]) -> float:
    """Length that the spans cover together, each foot once. [m]

    Examples
    --------
    >>> total([Span(0.0, 10.0), Span(5.0, 12.0)])
    12.0
    """
    return sum(span.length for span in union(spans))


def partition(
    layers: Iterable[tuple[Span, Layer]], *, within: Iterable[Span]
) -> tuple[tuple[Span, tuple[Layer, ...]], ...]:
    """A seam cut wherever something begins or ends, each piece with all that lies over it.

    Parameters
    ----------
    layers : iterable of (Span, hashable)
        Runs, probes, repairs; they may overlap and reach beyond the seam.
    within : iterable of Span
        The seam.

    Returns
    -------
    tuple of (Span, tuple)
        In order, without gap or overlap within the seam; pieces that nothing lies over have an
        empty tuple. Layers stay in the order given, the last lies on top.

    Examples
    --------
    >>> partition([(Span(0.0, 6.0), "run 1"), (Span(4.0, 10.0), "run 2")], within=[Span(0.0, 8.0)])
    ... # doctest: +NORMALIZE_WHITESPACE
    ((Span(start=0.0, end=4.0), ('run 1',)),
     (Span(start=4.0, end=6.0), ('run 1', 'run 2')),
     (Span(start=6.0, end=8.0), ('run 2',)))
    """
    over = list(layers)
    return tuple(_pieces(over, union(within)))


def _without(span: Span, taken: Iterable[Span]) -> Iterator[Span]:
    start = span.start
    for other in taken:
        if other.end <= start:
            continue
        if other.start >= span.end:
            break
        if start < other.start:
            yield Span(start, other.start)
        start = other.end
    if start < span.end:
        yield Span(start, span.end)


def _pieces(
    layers: list[tuple[Span, Layer]], seam: Iterable[Span]
) -> Iterator[tuple[Span, tuple[Layer, ...]]]:
    """One sweep along the seam, so that 100,000 layers take no longer than sorting them."""
    begins: dict[float, list[int]] = {}
    ends: dict[float, list[int]] = {}
    for place, (span, _) in enumerate(layers):
        begins.setdefault(span.start, []).append(place)
        ends.setdefault(span.end, []).append(place)
    marks = {mark for span in seam for mark in (span.start, span.end)}
    stretches = iter(seam)
    stretch = next(stretches, None)
    open_now: set[int] = set()
    for start, end in pairwise(sorted(marks | begins.keys() | ends.keys())):
        open_now.difference_update(ends.get(start, ()))
        open_now.update(begins.get(start, ()))
        while stretch is not None and stretch.end <= start:
            stretch = next(stretches, None)
        if stretch is None:
            return
        if stretch.start <= start:
            yield Span(start, end), tuple(layers[place][1] for place in sorted(open_now))


# --- ids: area letter, kind, number; the same on paper, on the sheet and in every fact -----------


def sheet_id(area: str, row: int, *, number: int | None = None) -> str:
    """A sheet by its row; where a row needs several, also its number from the origin end.

    Examples
    --------
    >>> sheet_id("A", 17), sheet_id("A", 17, number=2)
    ('A-017', 'A-017-2')
    """
    return f"{area}-{row:03d}" if number is None else f"{area}-{row:03d}-{number}"


def side_lap_id(area: str, row: int) -> str:
    """The side lap between a row and the next.

    Examples
    --------
    >>> side_lap_id("A", 17)
    'A-S017'
    """
    return f"{area}-S{row:03d}"


def end_lap_id(area: str, row: int, *, number: int) -> str:
    """An end lap of a row, numbered from the origin end.

    Examples
    --------
    >>> end_lap_id("A", 17, number=2)
    'A-E017-2'
    """
    return f"{area}-E{row:03d}-{number}"


def detail_id(area: str, number: int) -> str:
    """A drain, curb, pipe, wall or edge.

    Examples
    --------
    >>> detail_id("A", 45)
    'A-D045'
    """
    return f"{area}-D{number:03d}"


def t_joint_id(seam: str, *, station: float) -> str:
    """A T-joint by the seam it sits on and its whole feet.

    Examples
    --------
    >>> t_joint_id("A-S017", station=30.48)
    'A-T-S017-100'
    """
    area, _, rest = seam.partition("-")
    return f"{area}-T-{rest}-{round(station / FOOT):03d}"
