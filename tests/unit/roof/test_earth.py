"""Degrees to metres on the ellipsoid."""

from __future__ import annotations

import pytest

from lapwright.roof.earth import scale_of

# Length of a degree on the WGS 84 ellipsoid, widely tabulated (for example in the encyclopaedia
# article on latitude): of latitude 110.574 km at 0, 111.132 km at 45, 111.694 km at 90 degrees;
# of longitude 111.320 km at 0, 78.847 km at 45 degrees. From memory. Reached: 5e-6.


@pytest.mark.parametrize(
    ("latitude", "across", "along"), [(0.0, 111_320, 110_574), (45.0, 78_847, 111_132)]
)
def test_degree_has_its_tabulated_length(latitude: float, across: float, along: float) -> None:
    """Metres of a degree east and north."""
    assert scale_of((10.0, latitude)) == pytest.approx((across, along), rel=1e-5)
    assert scale_of((10.0, -latitude)) == pytest.approx((across, along), rel=1e-5)
