"""Families of sheet: where the window may lie before anybody welded, and how heat moves in them.

Every number here is a prior, not a property: kappa and the two thresholds lie on one
ridge and no test weld can part them. They start a search and are overruled by strips.
A new colour, lot, thickness or recipe is a new membrane with the same weak start.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import sqrt
from types import MappingProxyType


@dataclass(frozen=True, kw_only=True)
class Membrane:
    """One family of sheet with its prior beliefs.

    Parameters
    ----------
    code : str
        Lower-case trade abbreviation, the key in :data:`MEMBRANES`.
    thickness : float
        The usual sheet, for when nobody says. [m]
    bottom, bottom_sd : float
        Interface temperature at the bottom of the window, mean and spread. [K]
    top, top_sd : float
        The same at the top. [K]
    kappa, kappa_log_sd : float
        Median of kappa for an unknown machine; spread of its logarithm. [m^0.5 s^-0.5, -]
    conductivity : float
        Of the sheet. [W/mK]
    heat_capacity : float
        Of the sheet by volume, density times heat capacity. [J/m3K]
    weakness : str
        How little stands behind the thresholds: ``"weak"``, ``"very_weak"`` or ``"borrowed"``.
    source : str
        What stands behind them.
    """

    code: str
    thickness: float
    bottom: float
    bottom_sd: float
    top: float
    top_sd: float
    kappa: float
    kappa_log_sd: float
    conductivity: float
    heat_capacity: float
    weakness: str
    source: str

    @property
    def diffusivity(self) -> float:
        """How fast heat spreads in the sheet. [m2/s]"""
        return self.conductivity / self.heat_capacity

    @property
    def effusivity(self) -> float:
        """How much heat the face swallows while it warms. [W s^0.5/m2K]"""
        return sqrt(self.conductivity * self.heat_capacity)


_TPO = Membrane(
    code="tpo",
    thickness=0.001524,  # 60 mil; common practice, no source
    # 700 F at 80 F and 10 ft/min as bottom: common practice, no source. It is 150 C at this
    # kappa; a bottom between the 600 and 700 F rungs of a ladder is 130 to 150 C.
    bottom=423.15,
    bottom_sd=12.0,
    # 1000 F a good first trial, 1148 F judged too hot (a trade blog on roof quality control):
    # top between 210 and 239 C.
    top=498.15,
    top_sd=20.0,
    kappa=0.1016,  # fitted to the bottom above
    kappa_log_sd=0.30,  # unknown machine; our choice
    # PP 0.22 W/mK: Springer Handbook of Condensed Matter and Materials Data, table 3.3-6;
    # 1000 kg/m3 times 2000 J/kgK for filled sheet: from memory.
    conductivity=0.22,
    heat_capacity=2.0e6,
    weakness="weak",
    source="700 F bottom: common practice, no source; top between a good 1000 F and a"
    " too hot 1148 F: one trade blog; melting range of the sheet: from memory",
)

_PVC = Membrane(
    code="pvc",
    thickness=0.001524,  # 60 mil; common practice, no source
    bottom=438.15,  # processed at 160 to 210 C (a stabiliser maker's note)
    bottom_sd=20.0,
    # Hot wedge 250 to 375 C at 7 ft/min and 21 C (a geomembrane industry study, undated):
    # edge ratio 1.55, so 244 C if the bottom is 165 C.
    top=518.15,
    top_sd=35.0,
    kappa=0.122,  # kappa of TPO times the ratio of effusivities, 663 / 553
    kappa_log_sd=0.35,  # our choice
    conductivity=0.16,  # plasticised sheet, from memory (0.13 to 0.19)
    heat_capacity=1275.0 * 1500.0,  # kg/m3 times J/kgK; from memory
    weakness="very_weak",
    source="melt processing at 160 to 210 C; edge ratio of a hot-wedge study. Published"
    " start settings come out near or above this top: start low, let strips decide",
)

_KEE = Membrane(
    code="kee",
    thickness=0.00127,  # 50 mil; from memory
    # Values of PVC with wider spread: no source of its own.
    bottom=_PVC.bottom,
    bottom_sd=25.0,
    top=_PVC.top,
    top_sd=40.0,
    kappa=_PVC.kappa,
    kappa_log_sd=0.40,
    conductivity=_PVC.conductivity,
    heat_capacity=_PVC.heat_capacity,
    weakness="borrowed",
    source="PVC values with wider spread; no source of its own, hardly better than nothing",
)

MEMBRANES: Mapping[str, Membrane] = MappingProxyType({m.code: m for m in (_TPO, _PVC, _KEE)})
