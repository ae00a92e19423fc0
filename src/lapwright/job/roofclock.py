"""The clock on the roof: a server may stand in another zone, the crew's day is the roof's."""

from __future__ import annotations

from datetime import datetime, tzinfo

from lapwright.record.replay import Record


def roof_zone(record: Record) -> tzinfo | None:
    """The offset that the newest fact was written with; None where the record is empty."""
    newest = max(record, key=lambda fact: (fact.entered_at, fact.id), default=None)
    return None if newest is None else newest.moment.tzinfo


def day_at(at: datetime, zone: tzinfo | None) -> str:
    """The roof's day at a moment, as ``2026-05-04``.

    Parameters
    ----------
    at : datetime
        Aware.
    zone : tzinfo or None
        Of :func:`roof_zone`; the moment's own offset when None.

    Examples
    --------
    >>> late = datetime.fromisoformat("2026-05-05T01:30:00+00:00")
    >>> five_hours_west = datetime.fromisoformat("2026-05-04T20:30:00-05:00").tzinfo
    >>> day_at(late, five_hours_west)
    '2026-05-04'
    """
    return (at if zone is None else at.astimezone(zone)).date().isoformat()
