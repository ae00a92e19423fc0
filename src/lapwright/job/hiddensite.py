"""A site whose window nobody has seen: drawn from the prior, welded by the heat model.

For practice and nothing else. What its strips show follows the model by which lapwright reads
real ones, weld effect and misread grades included; a real roof may well be otherwise.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from lapwright.errors import OutOfRange
from lapwright.physics.heat import air_at, equivalent_air
from lapwright.physics.membrane import MEMBRANES
from lapwright.window.nextweld import STRIPS
from lapwright.window.prior import BOTTOM, FAMILIES, STEP, TOP, WEAK_TAIL, WIDE
from lapwright.window.soundness import LIMIT
from lapwright.window.strips import Overheat, Pull, Strip

Luck = Callable[[int], np.random.Generator]  # of a weld by its number; 0 is the site's own
_LOSS_PER_WORD = 0.03  # -; share of the air's rise that each word of wind takes; assumed
_WINDS = ("calm", "light", "breezy", "strong")
_SIGNS = ((0.0, "bare_scrim"), (1.0, "grey_core"), (2.0, "glaze"), (3.0, "bubbles"))
_PULLS: tuple[Pull, Pull, Pull] = ("cold", "partial", "full")
_MEMBRANE_SHARE = {"tpo": 0.7, "pvc": 0.2, "kee": 0.1}  # our choice
_HOTTEST = (810.93, 893.15)  # K; 1000 F on a weak cord to 1148 F, the end of most dials
_SUN_WARMS = {"sun": (8.0, 20.0), "cloud": (2.0, 6.0), "shade": (-1.0, 1.0)}  # K over air; assumed


@dataclass(frozen=True)
class Weather:
    """What a weld meets besides its setting.

    Parameters
    ----------
    ambient, sheet : float
        Air on the roof; sheet before the nozzle, as measured. [K]
    sun, wind : str
        Words, as a conditions reading has them.
    """

    ambient: float
    sheet: float
    sun: str
    wind: str

    @property
    def loss(self) -> float:
        """Share of the air's rise over the sheet that the wind takes. [-]"""
        return _LOSS_PER_WORD * _WINDS.index(self.wind)


@dataclass(frozen=True)
class Setting:
    """What a machine is set to.

    Parameters
    ----------
    air, speed : float
        Air temperature; travel speed. [K, m/s]

    Raises
    ------
    OutOfRange
        No machine can be set so.
    """

    air: float
    speed: float

    def __post_init__(self) -> None:
        for name, value, low, high in (
            ("air", self.air, 300.0, 1000.0),
            ("speed", self.speed, 0.005, 0.34),
        ):
            if not low < value < high:
                raise OutOfRange(name, value, above=low, below=high)


@dataclass(frozen=True)
class HiddenSite:
    """A machine, a sheet and a morning.

    Parameters
    ----------
    membrane : str
        Family code.
    bottom, top : float
        Edges as equivalent air. [K]
    spread_bottom, spread_top : float
        Spread of strips about each. [K]
    shared : float
        Share of the spread's variance that strips of one weld have in common. [-]
    partial : float
        Depth of the partial zone below the bottom. [K]
    kappa : float
        Lumped heat transfer. [m^0.5 s^-0.5]
    max_air : float
        Hottest air the machine reaches. [K]
    early, late : Weather
        Before the turn and from it on; the same where it never turns.
    turns_after : int
        Welds made before the weather turns.
    """

    membrane: str
    bottom: float
    top: float
    spread_bottom: float
    spread_top: float
    shared: float
    partial: float
    kappa: float
    max_air: float
    early: Weather
    late: Weather
    turns_after: int

    def weather(self, welds: int) -> Weather:
        """Weather after so many welds."""
        return self.early if welds < self.turns_after else self.late

    def has_turned(self, welds: int) -> bool:
        """Whether the weather is another than at first."""
        return self.weather(welds) != self.early

    @property
    def sound_from(self) -> float:
        """Equivalent air at which 19 of 20 strips are full. [K]"""
        return self.bottom + LIMIT * self.spread_bottom

    @property
    def sound_to(self) -> float:
        """Equivalent air at which 1 of 20 strips shows heat signs. [K]"""
        return self.top - LIMIT * self.spread_top

    def heat(self, setting: Setting, weather: Weather) -> float:
        """Equivalent air of a setting in a weather. [K]"""
        air = min(setting.air, self.max_air)
        met = air - weather.loss * (air - weather.sheet)
        heat = equivalent_air(met, sheet=weather.sheet, speed=setting.speed, kappa=self.kappa)
        return float(heat)

    def air_for(self, heat: float, *, speed: float, weather: Weather) -> float:
        """Air to set for an equivalent air; inverse of :meth:`heat` below the limit. [K]"""
        met = float(air_at(heat, sheet=weather.sheet, speed=speed, kappa=self.kappa))
        return (met - weather.loss * weather.sheet) / (1.0 - weather.loss)

    def sound_share(self, setting: Setting, weather: Weather) -> float:
        """Share of strips that are full and without sign, read without a mistake. [-]"""
        heat = self.heat(setting, weather)
        bonds = self._above(heat - self.bottom, self.spread_bottom)
        burns = self._above(heat - self.top, self.spread_top)
        return bonds * (1.0 - burns)

    def is_sound(self, setting: Setting, weather: Weather) -> bool:
        """At most 1 strip in 20 short of full, and 1 in 20 with heat signs."""
        return self.sound_from <= self.heat(setting, weather) <= self.sound_to

    def has_window(self, speed: float, weather: Weather) -> bool:
        """Whether some air that the machine reaches is sound at this speed."""
        most = self.heat(Setting(self.max_air, speed), weather)
        return self.sound_from <= min(self.sound_to, most)

    def sign_at(self, heat: float) -> str:
        """Which sign of too much heat is seen, the hotter the graver; the order is our choice."""
        over = (heat - self.top) / self.spread_top
        return next((sign for most, sign in _SIGNS if over < most), "scorch")

    def _above(self, distance: float, spread: float) -> float:
        effect = spread * np.sqrt(self.shared) * WIDE.effect
        return float(ndtr((distance + effect) / (spread * np.sqrt(1.0 - self.shared))).mean())


def hidden_site(rng: np.random.Generator) -> HiddenSite:
    """A site drawn from the weak prior; the same luck gives the same site."""
    membrane = str(rng.choice(list(_MEMBRANE_SHARE), p=list(_MEMBRANE_SHARE.values())))
    family, sheet = FAMILIES[membrane], MEMBRANES[membrane]
    bottom = width = 0.0
    while not (BOTTOM[0] < bottom < BOTTOM[-1] and width > 0 and bottom + width < TOP[-1]):
        bottom = family.bottom + family.bottom_scale * rng.standard_t(WEAK_TAIL)
        width = family.width + family.width_scale * rng.standard_t(WEAK_TAIL)
    spreads = rng.choice(WIDE.sigma, size=2, p=WIDE.sigma_weight / WIDE.sigma_weight.sum())
    early, late, turns_after = _weathers(rng)
    return HiddenSite(
        membrane=membrane,
        bottom=float(bottom),
        top=float(bottom + width),
        spread_bottom=float(spreads[0]),
        spread_top=float(spreads[1]),
        shared=float(rng.choice(WIDE.rho, p=WIDE.rho_weight / WIDE.rho_weight.sum())),
        partial=STEP * int(rng.choice(WIDE.partial_steps)),
        kappa=float(sheet.kappa * np.exp(sheet.kappa_log_sd * rng.standard_normal())),
        max_air=float(rng.uniform(*_HOTTEST)),
        early=early,
        late=late,
        turns_after=turns_after,
    )


def _weathers(rng: np.random.Generator) -> tuple[Weather, Weather, int]:
    """A summer or autumn morning; on about half of them a cloud or wind comes. Assumed."""
    ambient = float(rng.uniform(278.0, 303.0))  # 40 to 86 F
    sun, wind = str(rng.choice(["sun", "sun", "cloud", "shade"])), int(rng.integers(0, 3))
    early = _weather(ambient, sun, wind, rng)
    turns_after = int(rng.integers(2, 5))
    turn = rng.random()
    if turn < 0.25 and sun == "sun":
        return early, _weather(ambient, "cloud", wind, rng), turns_after
    if turn < 0.5:
        return early, Weather(ambient, early.sheet - 2.0, sun, _WINDS[wind + 1]), turns_after
    return early, early, turns_after


def _weather(ambient: float, sun: str, wind: int, rng: np.random.Generator) -> Weather:
    return Weather(ambient, ambient + float(rng.uniform(*_SUN_WARMS[sun])), sun, _WINDS[wind])


def weld_there(
    site: HiddenSite, setting: Setting, *, weather: Weather, rng: np.random.Generator
) -> tuple[Strip, ...]:
    """Weld once, look at three places while hot, pull three strips, grade them.

    Every weld takes the same count of numbers from ``rng``, so that the n-th weld of a site
    meets the same luck whatever it was set to.
    """
    heat = site.heat(setting, weather)
    effects = rng.choice(WIDE.effect, size=2)
    own = rng.standard_normal((2, STRIPS))
    misread = rng.random((2, STRIPS))
    luck = np.sqrt(site.shared) * effects[:, None] + np.sqrt(1.0 - site.shared) * own
    over = heat + site.spread_bottom * luck[0] - site.bottom
    signs = (heat + site.spread_top * luck[1] > site.top) ^ (misread[1] < WIDE.misread)
    return tuple(
        Strip(str(place + 1), _read(float(over[place]), float(misread[0, place]), site.partial),
              overheat=_heat(bool(signs[place])))
        for place in range(STRIPS)
    )  # fmt: skip


def _read(over: float, chance: float, partial: float) -> Pull:
    grade = (over > -partial) + (over > 0)
    if chance >= WIDE.misread:
        return _PULLS[grade]
    if grade != 1:
        return "partial"
    return "full" if chance < WIDE.misread / 2 else "cold"


def _heat(is_seen: bool) -> Overheat:
    return "signs" if is_seen else "none"
