"""Heat through layers in contact: temperature over depth, exact in time.

Layers are cut into thin cells. Heat then obeys a linear system with a symmetric
matrix, whose modes give the temperature at any time exactly; only the cutting into
cells is an approximation. ``lap`` builds the lap from it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import exprel

from lapwright.physics.heat import Values

_GRADING = 100.0  # widest over narrowest cell of a layer


@dataclass(frozen=True, kw_only=True)
class Layer:
    """A slab of one material, cut into cells that are thinnest on one side.

    Parameters
    ----------
    thickness : float
        Above zero. [m]
    conductivity, heat_capacity : float
        Of the material; heat capacity by volume. [W/mK, J/m3K]
    cells : int
        Number of cells.
    finest_below : bool
        Thinnest cells at the lower side instead of the upper one.
    """

    thickness: float
    conductivity: float
    heat_capacity: float
    cells: int
    finest_below: bool = False

    @property
    def widths(self) -> Values:
        """Cell widths from the upper side down. [m]"""
        widths = np.geomspace(1.0, _GRADING, self.cells)
        widths *= self.thickness / widths.sum()
        return np.asarray(widths[::-1] if self.finest_below else widths)


@dataclass(frozen=True)
class Stack:
    """Layers in perfect contact, with an air film above and below.

    Parameters
    ----------
    layers : tuple of Layer
        From the top down.
    film_above, film_below : float
        Heat transfer to the air there; 0 insulates. [W/m2K]
    """

    layers: tuple[Layer, ...]
    film_above: float
    film_below: float

    @cached_property
    def widths(self) -> Values:
        """Cell widths from the top down. [m]"""
        return np.concatenate([layer.widths for layer in self.layers])

    @property
    def depth(self) -> Values:
        """Depth of the cell centres below the top. [m]"""
        return np.asarray(np.cumsum(self.widths) - self.widths / 2)

    @cached_property
    def half(self) -> Values:
        """Conductance from each cell's centre to its own border. [W/m2K]"""
        conductivity = [np.full(layer.cells, layer.conductivity) for layer in self.layers]
        return np.asarray(2 * np.concatenate(conductivity) / self.widths)

    @cached_property
    def capacity(self) -> Values:
        """Heat that each cell holds per kelvin. [J/m2K]"""
        by_volume = [np.full(layer.cells, layer.heat_capacity) for layer in self.layers]
        return np.asarray(np.concatenate(by_volume) * self.widths)

    @cached_property
    def _film_conductance(self) -> tuple[float, float]:
        above = self.film_above * self.half[0] / (self.film_above + self.half[0])
        below = self.film_below * self.half[-1] / (self.film_below + self.half[-1])
        return float(above), float(below)

    @cached_property
    def _modes(self) -> tuple[Values, Values]:
        """Decay rates [1/s] and mode shapes in root-capacity scaling, which is symmetric."""
        from scipy.linalg import eigh_tridiagonal

        between = self.half[:-1] * self.half[1:] / (self.half[:-1] + self.half[1:])
        above, below = self._film_conductance
        leaving = np.concatenate([[above], between]) + np.concatenate([between, [below]])
        coupling = -between / np.sqrt(self.capacity[:-1] * self.capacity[1:])
        rates, shapes = eigh_tridiagonal(leaving / self.capacity, coupling)
        return rates, shapes

    def temperature(
        self, start: ArrayLike, *, above: float, below: float, times: ArrayLike
    ) -> Values:
        """Cell temperatures some time after the air on both sides has been switched on.

        Parameters
        ----------
        start : array_like
            Temperature at time zero, one for all cells or one each. [K]
        above, below : float
            Air beyond the two films. [K]
        times : array_like
            Times, not below zero. [s]

        Returns
        -------
        ndarray
            Shape (times, cells). [K]
        """
        rates, shapes = self._modes
        root = np.sqrt(self.capacity)
        film_above, film_below = self._film_conductance
        source = (film_above * above / root[0]) * shapes[0]
        source = source + (film_below * below / root[-1]) * shapes[-1]
        times = np.atleast_1d(np.asarray(times, dtype=float))[:, None]
        kept = np.exp(-rates * times) * ((np.asarray(start, dtype=float) * root) @ shapes)
        gained = times * exprel(-rates * times) * source
        return np.asarray((kept + gained) @ shapes.T / root)

    def face_above(self, cells: Values, *, air: float) -> Values:
        """Temperature of the uppermost face from cell temperatures (..., cells). [K]"""
        return shared_face(self.film_above, air, self.half[0], cells[..., 0])

    def face_below(self, cells: Values, *, air: float) -> Values:
        """Temperature of the lowermost face from cell temperatures (..., cells). [K]"""
        return shared_face(self.half[-1], cells[..., -1], self.film_below, air)


def shared_face(
    upper: ArrayLike, upper_temperature: ArrayLike, lower: ArrayLike, lower_temperature: ArrayLike
) -> Values:
    """Temperature between two conductances, where no heat is stored."""
    upper, lower = np.asarray(upper), np.asarray(lower)
    return np.asarray((upper * upper_temperature + lower * lower_temperature) / (upper + lower))
