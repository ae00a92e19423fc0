"""Things in the order of time, and quick looks at a part of them."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Hashable, Iterable, Iterator
from datetime import datetime
from typing import Generic, TypeVar

Thing = TypeVar("Thing")


class Timeline(Generic[Thing]):
    """Things by their moment.

    Parameters
    ----------
    things : iterable
        In any order.
    moment : callable
        When a thing was.

    Examples
    --------
    >>> from datetime import timedelta
    >>> noon = datetime.fromisoformat("2026-05-04T12:00:00-05:00")
    >>> hours = Timeline(range(4), moment=lambda hour: noon + timedelta(hours=hour))
    >>> hours.between(noon, noon + timedelta(hours=2)), hours.last(noon + timedelta(hours=9))
    ([1, 2], 3)
    """

    def __init__(self, things: Iterable[Thing], *, moment: Callable[[Thing], datetime]) -> None:
        self._things = sorted(things, key=moment)
        self._moments = [moment(thing) for thing in self._things]

    def __iter__(self) -> Iterator[Thing]:
        """All of them, the oldest first."""
        return iter(self._things)

    def between(self, since: datetime | None, until: datetime) -> list[Thing]:
        """Those after one moment, up to and with another; from the beginning when None."""
        start = 0 if since is None else bisect_right(self._moments, since)
        return self._things[start : bisect_right(self._moments, until)]

    def back_from(self, until: datetime) -> Iterator[Thing]:
        """Those up to and with a moment, the newest first."""
        for place in range(bisect_right(self._moments, until) - 1, -1, -1):
            yield self._things[place]

    def last(self, until: datetime) -> Thing | None:
        """The newest up to and with a moment."""
        return next(self.back_from(until), None)


class Timelines(Generic[Thing]):
    """One timeline for each key; an empty one for a key that nothing has.

    Parameters
    ----------
    things : iterable
        In any order.
    key : callable
        What they are sorted under.
    moment : callable
        When a thing was.
    """

    def __init__(
        self,
        things: Iterable[Thing],
        *,
        key: Callable[[Thing], Hashable],
        moment: Callable[[Thing], datetime],
    ) -> None:
        groups: dict[Hashable, list[Thing]] = {}
        for thing in things:
            groups.setdefault(key(thing), []).append(thing)
        self._empty: Timeline[Thing] = Timeline((), moment=moment)
        self._lines = {name: Timeline(group, moment=moment) for name, group in groups.items()}

    def __getitem__(self, key: Hashable) -> Timeline[Thing]:
        return self._lines.get(key, self._empty)
