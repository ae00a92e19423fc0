"""What a person asks about cuts, from options in field units."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from lapwright.errors import LapwrightError, OutOfRange
from lapwright.job.proving import STRETCH, Asked
from lapwright.readings.start import stated_in_si
from lapwright.readings.tally import read_groups

_LENGTH = ("ft", "m")


def asked_from(stated: dict[str, Any], *, groups: Path | None = None) -> Asked:
    """Questions from options, which are taken out of ``stated``.

    Raises
    ------
    LapwrightError
        ``cuts_nothing_asked``, ``goes_together``, ``stated_twice``.
    OutOfRange
        The sureness is not between 50 and 100 %.
    FileUnreadable
        The file of groups, as :func:`lapwright.readings.tally.read_groups`.

    Examples
    --------
    >>> asked = asked_from({"taken": 20, "bad": 0, "voids": 0, "noticed_percent": 100.0,
    ...                     "sure_percent": 95.0})
    >>> asked.taken, asked.sure
    (20, 0.95)
    """
    good, poor = (_share(stated.get(f"{name}_percent")) for name in ("good", "poor"))
    if (good is None) != (poor is None):
        raise LapwrightError("goes_together", first="--good-percent", second="--poor-percent")
    asked = Asked(
        taken=stated.get("taken"),
        bad=stated["bad"],
        places=stated.get("places"),
        groups=() if groups is None else read_groups(groups),
        probed=_length("probed", stated),
        voids=stated["voids"],
        noticed=stated["noticed_percent"] / 100,
        good=good,
        poor=poor,
        spacing=_length("every", stated),
        stretch=stated_in_si("stretch", _LENGTH, stated, otherwise=STRETCH),
        sure=stated["sure_percent"] / 100,
    )
    questions = (asked.taken, asked.probed, good, asked.spacing, groups)
    if all(question is None for question in questions):
        raise LapwrightError("cuts_nothing_asked")
    if not 0.5 < asked.sure < 1:
        raise OutOfRange("share", asked.sure, above=0.5, below=1.0)
    return asked


def _share(percent: float | None) -> float | None:
    return None if percent is None else percent / 100


def _length(name: str, stated: dict[str, Any]) -> float | None:
    is_said = any(stated.get(f"{name}_{unit}") is not None for unit in _LENGTH)
    return stated_in_si(name, _LENGTH, stated, otherwise=0.0) if is_said else None
