"""The scale card and the plane it spans against OpenCV's own dictionary and plain algebra."""

from __future__ import annotations

import io
import re

import cv2
import numpy as np
import pytest
import vl_convert
from PIL import Image
from tests.stripphoto import Shot, render

from lapwright.job.scalecard import (
    BITS,
    CELLS,
    CHECK,
    DICTIONARY,
    HEIGHT,
    MARKER,
    WIDTH,
    marker_places,
)
from lapwright.readings.photo.card import find_card
from lapwright.readings.photo.picture import Photo
from lapwright.report.figures import Reader
from lapwright.report.scalecard import scale_card_svg
from lapwright.units import UnitSystem

DOTS = 10  # in a mm


def printed(units: UnitSystem) -> np.ndarray:
    """The page as a printer would set it, grey, ten dots in a mm."""
    svg = scale_card_svg(Reader("en", units))
    png = vl_convert.svg_to_png(svg, scale=DOTS * 25.4 / 96)
    return np.asarray(Image.open(io.BytesIO(png)).convert("L"))


def test_markers_are_those_of_the_open_dictionary() -> None:
    """Bits of each marker as OpenCV publishes them (AprilTag 36h11, objdetect module)."""
    known = cv2.aruco.getPredefinedDictionary(getattr(cv2.aruco, DICTIONARY))
    for number, rows in BITS.items():
        picture = known.generateImageMarker(number, CELLS * 4)[2::4, 2::4] > 127
        assert not picture[0].any()
        assert not picture[:, 0].any()
        own = np.array([[bit == "1" for bit in row] for row in rows])
        assert (picture[1:-1, 1:-1] == own).all()


@pytest.mark.parametrize("units", ["us", "metric"])
def test_printed_markers_are_found_in_their_places(units: UnitSystem) -> None:
    """On letter and A4 OpenCV finds all eight, each 16 mm wide, apart as the card says."""
    known = cv2.aruco.getPredefinedDictionary(getattr(cv2.aruco, DICTIONARY))
    corners, numbers, _ = cv2.aruco.ArucoDetector(known).detectMarkers(printed(units))
    seen = {
        int(number): each.reshape(4, 2) / DOTS / 1000
        for number, each in zip(numbers.ravel(), corners, strict=True)
    }
    assert sorted(seen) == sorted(BITS)
    first, places = seen[100][0], marker_places()
    for number, own in seen.items():
        shift = np.subtract(places[number], places[100])
        assert own[0] - first == pytest.approx(shift, abs=2e-4)
        assert own[2] - own[0] == pytest.approx([MARKER, MARKER], abs=2e-4)


@pytest.mark.parametrize("units", ["us", "metric"])
def test_check_line_is_as_long_as_it_says(units: UnitSystem) -> None:
    """0 to 100 mm and 0 to 4 in on paper, counted in dots; 25.4 mm to the inch, NIST SP 811."""
    page = printed(units)
    card = int(18.0 * DOTS)
    dark = page < 100
    for top, length in ((card + 25.4 * DOTS, 4 * 25.4), (card + 96.2 * DOTS, 1000 * CHECK)):
        row = dark[int(top)]
        marks = np.flatnonzero(np.diff(row.astype(int), prepend=0) == 1)
        apart = np.abs((marks[:, None] - marks[None, :]) / DOTS - length)
        assert apart.min() <= 0.1


def test_page_is_as_large_as_its_paper() -> None:
    """ANSI/ASME Y14.1 size A is 8.5 by 11 in, ISO 216 A4 is 210 by 297 mm; 96 units in an inch."""
    for units, paper in (("us", (8.5, 11.0)), ("metric", (210 / 25.4, 297 / 25.4))):
        svg = scale_card_svg(Reader("en", units))  # type: ignore[arg-type]
        size = re.search(r'width="([\d.]+)" height="([\d.]+)"', svg)
        assert size is not None
        assert [float(side) / 96 for side in size.groups()] == pytest.approx(paper, abs=2e-3)


def test_plane_agrees_with_the_direct_linear_transform() -> None:
    """The fitted plane against the null vector of the DLT matrix (Hartley and Zisserman, 2004,
    algorithm 4.1; from memory), from OpenCV's corners of the same photo."""
    shot = Shot(length=0.0, pixels=(1632, 1224), tilt=25.0)
    picture = render(shot)
    view = find_card(Photo("a", picture, 0.8))
    known = cv2.aruco.getPredefinedDictionary(getattr(cv2.aruco, DICTIONARY))
    settings = cv2.aruco.DetectorParameters()
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    corners, numbers, _ = cv2.aruco.ArucoDetector(known, settings).detectMarkers(
        cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY)
    )
    square = np.array([(0, 0), (1, 0), (1, 1), (0, 1)]) * MARKER
    lines = []
    for number, each in zip(numbers.ravel(), corners, strict=True):
        for (x, y), (u, v) in zip(
            square + marker_places()[int(number)], each.reshape(4, 2) / 1000, strict=True
        ):
            point = 10 * np.array([x, y, 0.1])  # all of like size, so that none weighs more
            lines += [[*point, 0, 0, 0, *(-u * point)], [0, 0, 0, *point, *(-v * point)]]
    plane = np.linalg.svd(np.array(lines))[2][-1].reshape(3, 3)
    places = np.array([(x, y) for x in (0.01, WIDTH / 2, 0.17) for y in (0.01, HEIGHT - 0.01)])
    made = plane @ np.column_stack([10 * places, np.ones(len(places))]).T
    direct = 1000 * (made[:2] / made[2]).T
    assert np.abs(view.place(places) - direct).max() < 0.5  # px; 0.08 mm on the card
