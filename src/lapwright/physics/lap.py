"""Inside the lap: temperature over depth and time, under the nozzle and after contact.

Two sheets and what lies below them, cut into cells that are finest at the lap faces
(see ``layers``). Gives the picture behind ``heat`` and checks it; the window itself
never asks it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike

from lapwright.errors import LapwrightError, OutOfRange
from lapwright.physics.heat import HEATED_LENGTH, Values, above_zero
from lapwright.physics.layers import Layer, Stack, shared_face
from lapwright.physics.membrane import MEMBRANES, Membrane

SHEET_CELLS = 40  # per sheet; the face is then within 0.2 K of the exact slab
SUBSTRATE_CELLS = 25
SUBSTRATE_DEPTH = 0.050  # m; heat of the first 10 s does not reach the end, even in concrete
OUTER_FILM = 15.0  # W/m2K; wind and radiation above the upper sheet, assumed; does not matter

# What lies below the lower sheet: (conductivity W/mK, heat capacity J/m3K), all from memory.
SUBSTRATES: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "polyiso": (0.025, 32.0 * 1450.0),
        "gypsum": (0.17, 800.0 * 1090.0),
        "wood_fibre": (0.05, 250.0 * 2000.0),
        "concrete": (1.7, 2300.0 * 880.0),
    }
)


@dataclass(frozen=True)
class History:
    """Temperatures of one spot of the lap.

    Parameters
    ----------
    time : ndarray
        Since the faces met; below zero the nozzle is still over the spot. [s]
    depth : ndarray
        Cell centres below the top of the upper sheet. [m]
    temperature : ndarray
        Shape (time, depth). [K]
    interface : ndarray
        Lap faces at each time; the colder one before they meet. [K]
    """

    time: Values
    depth: Values
    temperature: Values
    interface: Values


@dataclass(frozen=True, kw_only=True)
class Lap:
    """One spot of a lap that a nozzle passes and a roller closes at once.

    Parameters
    ----------
    air, sheet, ambient : float
        True air at the nozzle mouth; both sheets and the substrate before the nozzle;
        air above the roof. [K]
    speed : float
        Travel speed, above zero. [m/s]
    kappa : float
        Lumped heat transfer of machine, nozzle, air flow and sheet, above zero; the same
        for both faces. [m^0.5 s^-0.5]
    membrane : Membrane
        Its conductivity, heat capacity and thickness count; the sheet of TPO by default.
    substrate : str
        Key of :data:`SUBSTRATES`.

    Raises
    ------
    OutOfRange
        ``speed``, ``kappa`` or the thickness is not above zero.
    LapwrightError
        ``unknown_substrate``.

    Notes
    -----
    Contact is perfect and follows the nozzle at once. Left out: melting, radiation in the
    nozzle, air between roller and nozzle, heat along the seam, uneven jets. The picture is
    as good as kappa, which rests on practice.

    References
    ----------
    Finite volumes and symmetric eigenmodes are textbook methods; the answers are checked
    against series and error-function solutions in the tests.

    Examples
    --------
    >>> lap = Lap(air=727.6, sheet=299.8, ambient=299.8, speed=0.0508, kappa=0.1016)
    >>> round(lap.contact_temperature - 273.15)
    180
    >>> round(lap.time_above(393.15), 2)
    0.24
    """

    air: float
    sheet: float
    ambient: float
    speed: float
    kappa: float
    membrane: Membrane = MEMBRANES["tpo"]
    substrate: str = "polyiso"

    def __post_init__(self) -> None:
        above_zero("speed", self.speed)
        above_zero("kappa", self.kappa)
        above_zero("thickness", self.membrane.thickness)
        if self.substrate not in SUBSTRATES:
            raise LapwrightError(
                "unknown_substrate", value=self.substrate, known=", ".join(sorted(SUBSTRATES))
            )

    @property
    def under_nozzle(self) -> float:
        """Time that the nozzle heats one spot. [s]"""
        return HEATED_LENGTH / self.speed

    def _sheet(self, *, finest_below: bool) -> Layer:
        return Layer(
            thickness=self.membrane.thickness,
            conductivity=self.membrane.conductivity,
            heat_capacity=self.membrane.heat_capacity,
            cells=SHEET_CELLS,
            finest_below=finest_below,
        )

    @cached_property
    def _stacks(self) -> tuple[Stack, Stack, Stack]:
        """Upper sheet; lower sheet on its substrate; both closed to a seam."""
        upper, lower = self._sheet(finest_below=True), self._sheet(finest_below=False)
        conductivity, heat_capacity = SUBSTRATES[self.substrate]
        ground = Layer(
            thickness=SUBSTRATE_DEPTH,
            conductivity=conductivity,
            heat_capacity=heat_capacity,
            cells=SUBSTRATE_CELLS,
        )
        jet = self.kappa * self.membrane.effusivity / np.sqrt(HEATED_LENGTH)  # W/m2K
        return (
            Stack((upper,), OUTER_FILM, jet),
            Stack((lower, ground), jet, 0.0),
            Stack((upper, lower, ground), OUTER_FILM, 0.0),
        )

    def _open(self, heated: ArrayLike) -> tuple[Values, Values]:
        """Cells (time, depth) and colder face of the open lap after so long under the jet."""
        upper, lower, _ = self._stacks
        upper_cells = upper.temperature(
            self.sheet, above=self.ambient, below=self.air, times=heated
        )
        lower_cells = lower.temperature(self.sheet, above=self.air, below=self.air, times=heated)
        faces = np.minimum(
            upper.face_below(upper_cells, air=self.air),
            lower.face_above(lower_cells, air=self.air),
        )
        return np.concatenate([upper_cells, lower_cells], axis=1), faces

    def _closed(self, since: ArrayLike) -> tuple[Values, Values]:
        """Cells (time, depth) and interface of the seam so long after contact."""
        seam = self._stacks[2]
        start = self._open(self.under_nozzle)[0][0]
        cells = seam.temperature(start, above=self.ambient, below=self.ambient, times=since)
        last, first = SHEET_CELLS - 1, SHEET_CELLS
        interface = shared_face(seam.half[last], cells[:, last], seam.half[first], cells[:, first])
        return cells, interface

    @property
    def contact_temperature(self) -> float:
        """Temperature of the colder lap face as the faces meet. [K]"""
        return float(self._open(self.under_nozzle)[1][0])

    def history(self, times: ArrayLike) -> History:
        """Temperatures over depth at given times.

        Parameters
        ----------
        times : array_like
            Since the faces met; below zero the lap is open, and before
            ``-under_nozzle`` it is untouched. [s]

        Returns
        -------
        History
            Depth, temperature and interface at those times.
        """
        times = np.atleast_1d(np.asarray(times, dtype=float))
        is_open = times <= 0.0
        open_cells, faces = self._open(np.clip(times + self.under_nozzle, 0.0, self.under_nozzle))
        closed_cells, interface = self._closed(np.maximum(times, 0.0))
        return History(
            time=times,
            depth=self._stacks[2].depth,
            temperature=np.where(is_open[:, None], open_cells, closed_cells),
            interface=np.select(
                [times < -self.under_nozzle, is_open], [np.asarray(self.sheet), faces], interface
            ),
        )

    def time_above(self, temperature: float) -> float:
        """How long the interface stays above a temperature after contact.

        Parameters
        ----------
        temperature : float
            Above sheet and ambient. [K]

        Returns
        -------
        float
            Time; zero if the interface never lay above it. [s]

        Raises
        ------
        OutOfRange
            ``temperature`` is not above sheet and ambient, to which the seam cools.
        """
        from scipy.optimize import brentq

        floor = max(self.sheet, self.ambient)
        if not temperature > floor:
            raise OutOfRange("temperature", temperature, above=floor)

        def excess(since: float) -> float:
            return float(self._closed(since)[1][0]) - temperature

        if excess(0.0) <= 0:
            return 0.0
        late = 1.0
        while excess(late) > 0:
            late *= 2
        return float(brentq(excess, 0.0, late, xtol=1e-6))
