"""A morning on a hidden site, for practice: weld, look while it is hot, let cool, pull.

Nothing of it is a record. The truth is for the end alone, see ``unveiling``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from lapwright.errors import OutOfRange
from lapwright.job.hiddensite import (
    HiddenSite,
    Luck,
    Setting,
    Weather,
    hidden_site,
    weld_there,
)
from lapwright.physics.startspeed import common_speed_rule
from lapwright.window.nextweld import SPEED_STEP
from lapwright.window.strips import Strip, TestWeld

MOST_WELDS = 12  # of one practice morning; our choice


@dataclass(frozen=True)
class Tried:
    """A practice weld as asked for.

    Parameters
    ----------
    setting : Setting
        Air and speed.
    looked : bool
        Whether somebody looked while it was hot.
    """

    setting: Setting
    looked: bool


@dataclass(frozen=True)
class Seen:
    """A practice weld as it came out.

    Parameters
    ----------
    number : int
        From 1.
    tried : Tried
        What was asked for.
    weather : Weather
        What it met.
    strips : tuple of Strip
        Pull grades; heat signs only where somebody looked.
    sign : str
        Which sign it is, where there is one.
    """

    number: int
    tried: Tried
    weather: Weather
    strips: tuple[Strip, ...]
    sign: str


@dataclass(frozen=True)
class Morning:
    """A practice morning so far. The site in it is for the end alone.

    Parameters
    ----------
    site : HiddenSite
        The truth.
    welds : tuple of Seen
        In order.
    """

    site: HiddenSite
    welds: tuple[Seen, ...]

    @property
    def weather(self) -> Weather:
        """Weather now."""
        return self.site.weather(len(self.welds))

    @property
    def start_speed(self) -> float:
        """The common rule for a start, in whole steps. [m/s]"""
        rule = common_speed_rule(self.site.early.ambient)
        return SPEED_STEP * max(1, round(rule / SPEED_STEP))

    @property
    def turned_at(self) -> int | None:
        """Welds made when the weather turned; None while it has not."""
        return self.site.turns_after if self.site.has_turned(len(self.welds)) else None


def practise(tried: Sequence[Tried], *, luck: Luck) -> Morning:
    """The morning after some welds; the same luck and settings give the same morning.

    Raises
    ------
    OutOfRange
        More welds than a morning has.
    """
    if len(tried) > MOST_WELDS:
        raise OutOfRange("welds", len(tried), below=MOST_WELDS + 1)
    site = hidden_site(luck(0))
    return Morning(
        site, tuple(weld_seen(site, n, one, luck) for n, one in enumerate(tried, start=1))
    )


def weld_seen(site: HiddenSite, number: int, tried: Tried, luck: Luck) -> Seen:
    """One weld as it came out; where nobody looked, no sign is known."""
    weather = site.weather(number - 1)
    strips = weld_there(site, tried.setting, weather=weather, rng=luck(number))
    if not tried.looked:
        strips = tuple(replace(strip, overheat=None) for strip in strips)
    return Seen(number, tried, weather, strips, site.sign_at(site.heat(tried.setting, weather)))


def as_test_weld(seen: Seen) -> TestWeld:
    """A practice weld as the window reads it."""
    setting, weather = seen.tried.setting, seen.weather
    return TestWeld(
        str(seen.number), setting.air, setting.speed, weather.ambient, weather.sheet, seen.strips
    )
