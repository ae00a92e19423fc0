"""Degrees laid flat: metres of a degree around one roof."""

from __future__ import annotations

import math

from lapwright.roof.outline import Corner

_MAJOR = 6_378_137.0  # m; WGS 84, half axis at the equator
_FLATTENING = 1 / 298.257223563  # WGS 84


def scale_of(anchor: Corner) -> Corner:
    """Metres of a degree of longitude and of latitude at a place.

    Radii of curvature of the WGS 84 ellipsoid; good to 0.01 % across a roof of one kilometre.

    Examples
    --------
    >>> [round(metres) for metres in scale_of((0.0, 45.0))]
    [78847, 111132]
    """
    latitude = math.radians(anchor[1])
    squared = _FLATTENING * (2 - _FLATTENING)
    bend = 1 - squared * math.sin(latitude) ** 2
    across = _MAJOR / math.sqrt(bend) * math.cos(latitude)
    along = _MAJOR * (1 - squared) / bend**1.5
    return math.radians(1) * across, math.radians(1) * along
