"""The scale card in a photo: its markers, how the camera looks at it, and how well that fits."""

from __future__ import annotations

from dataclasses import dataclass
from types import ModuleType
from typing import Any

import numpy as np

from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.job.scalecard import (
    BAY_TOP,
    BITS,
    DICTIONARY,
    HEIGHT,
    MARKER,
    WIDTH,
    marker_places,
)
from lapwright.readings.photo.picture import Photo

Values = np.ndarray[Any, np.dtype[np.float64]]

LEAST_MARKERS = 4
USUAL_FOCAL = 0.74  # focal length over the long side, of most phones' main camera; from memory
MOST_LENS = 0.12  # stretch at the corner of the picture; beyond it no phone lens bends
LEAST_DENSITY = 4000.0  # px/m; below it threads of 1 mm have fewer than four
MOST_RESIDUE = 0.0005  # m, of the marker corners; a card that lies flat stays below half of it
MOST_SLANT = 45.0  # degrees; our choice, tested to 35
_LENS_WORTH = 0.8  # the lens is fitted only when the residue falls below this share
_FOR_LENS = 6  # markers
_CORNERS = np.array([(0, 0), (1, 0), (1, 1), (0, 1)]) * MARKER  # as the detector goes round


def vision() -> ModuleType:
    """OpenCV.

    Raises
    ------
    LapwrightError
        ``photo_extra``: it is not installed.
    """
    try:
        import cv2
    except ImportError:
        raise LapwrightError("photo_extra") from None
    found: ModuleType = cv2
    return found


@dataclass(frozen=True)
class View:
    """How the camera looks at the card.

    Parameters
    ----------
    matrix : ndarray, shape (3, 3)
        Card (m) to picture (px), the lens left out.
    lens : float
        Radial stretch: r (1 + lens r^2), r from the middle over half the diagonal.
    size : tuple of int
        Width and height of the picture. [px]
    markers : tuple of int
        Numbers of the markers seen.
    residue : float
        Root mean square of the marker corners from where they belong. [m]
    focal : float
        Focal length. [px]
    """

    matrix: Values
    lens: float
    size: tuple[int, int]
    markers: tuple[int, ...]
    residue: float
    focal: float

    def raised(self, thickness: float) -> View:
        """The same look at a plane that lies above the card. [m]"""
        width, height = self.size
        camera = np.array([[self.focal, 0, width / 2], [0, self.focal, height / 2], [0, 0, 1]])
        pose = np.linalg.solve(camera, self.matrix)
        pose /= np.linalg.norm(pose[:, :2], axis=0).mean() * (1 if pose[2, 2] > 0 else -1)
        pose[:, 2] -= thickness * np.cross(pose[:, 0], pose[:, 1])
        matrix = camera @ pose
        return View(matrix, self.lens, self.size, self.markers, self.residue, self.focal)

    @property
    def distance(self) -> float:
        """From the camera to the card, about; right when the focal length is. [m]"""
        return self.focal / self.density(WIDTH / 2, HEIGHT / 2)

    def place(self, points: Values) -> Values:
        """Points of the card in the picture. [m] to [px]"""
        return _bend(_project(self.matrix, points), self.lens, self.size)

    def density(self, x: float, y: float) -> float:
        """Pixels in a metre at a point of the card, along the card's shorter-looking way."""
        step = 1e-3
        near = self.place(np.array([(x, y), (x + step, y), (x, y + step)]))
        return float(np.linalg.norm(near[1:] - near[0], axis=1).min() / step)

    @property
    def slant(self) -> float:
        """How far from straight above, about. [degrees]"""
        step = 1e-3
        middle = np.array([WIDTH / 2, HEIGHT / 2])
        around = middle + np.array([(0, 0), (step, 0), (0, step)])
        near = self.place(around)
        across = (near[1:] - near[0]).T / step
        high, low = np.linalg.svd(across, compute_uv=False)
        return float(np.degrees(np.arccos(low / high)))


def find_card(photo: Photo) -> View:
    """The card in a photo, or why it cannot be measured by.

    Raises
    ------
    FileUnreadable
        ``band_no_card``, ``band_two_cards``, ``band_far``, ``band_slant``, ``band_bent``.
    LapwrightError
        ``photo_extra``.
    """
    seen = _markers(photo)
    if len(seen) < LEAST_MARKERS or not _surrounds_bay(seen):
        raise FileUnreadable("band_no_card", file=photo.name, found=len(seen))
    places = marker_places()
    card = np.concatenate([np.array(places[marker]) + _CORNERS for marker in seen])
    picture = np.concatenate(list(seen.values()))
    rows, columns = photo.colours.shape[:2]
    matrix, lens, residue = _fit(card, picture, (columns, rows), len(seen))
    focal = (photo.focal or USUAL_FOCAL) * max(rows, columns)
    view = View(matrix, lens, (columns, rows), tuple(seen), residue, focal)
    if view.slant > MOST_SLANT:
        raise FileUnreadable("band_slant", file=photo.name)
    if view.density(WIDTH / 2, HEIGHT / 2) < LEAST_DENSITY:
        raise FileUnreadable("band_far", file=photo.name)
    if residue > MOST_RESIDUE or abs(lens) > MOST_LENS:
        raise FileUnreadable("band_bent", file=photo.name)
    return view


def _markers(photo: Photo) -> dict[int, Values]:
    """Corners of our markers by their numbers. [px]"""
    cv2 = vision()
    settings = cv2.aruco.DetectorParameters()
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    dictionary = cv2.aruco.getPredefinedDictionary(getattr(cv2.aruco, DICTIONARY))
    detector = cv2.aruco.ArucoDetector(dictionary, settings)
    grey = (255 * photo.grey + 0.5).astype(np.uint8)
    corners, numbers, _ = detector.detectMarkers(grey)
    found: dict[int, Values] = {}
    for number, each in zip([] if numbers is None else numbers.ravel(), corners, strict=True):
        if int(number) not in BITS:
            continue
        if int(number) in found:
            raise FileUnreadable("band_two_cards", file=photo.name)
        found[int(number)] = each.reshape(4, 2).astype(float)
    return dict(sorted(found.items()))


def _surrounds_bay(seen: dict[int, Values]) -> bool:
    """Markers above and below the bay, and far enough apart along it."""
    places = [marker_places()[marker] for marker in seen]
    below = {y > BAY_TOP for _, y in places}
    span = max(x for x, _ in places) - min(x for x, _ in places)
    return len(below) == 2 and span > WIDTH / 2


def _fit(
    card: Values, picture: Values, size: tuple[int, int], markers: int
) -> tuple[Values, float, float]:
    """Plane and lens that bring the marker corners closest to where they were seen."""
    from scipy.optimize import minimize_scalar

    def residue(lens: float) -> float:
        return _plane(card, _straight(picture, lens, size))[1]

    plain = residue(0.0)
    lens = 0.0
    if markers >= _FOR_LENS:
        best = minimize_scalar(residue, bounds=(-0.2, 0.2), method="bounded")
        lens = float(best.x) if best.fun < _LENS_WORTH * plain else 0.0
    matrix, left = _plane(card, _straight(picture, lens, size))
    return matrix, lens, left


def _plane(card: Values, picture: Values) -> tuple[Values, float]:
    """Card to picture by least squares, and the residue on the card. [m]"""
    cv2 = vision()
    matrix, _ = cv2.findHomography(card, picture, 0)
    back = _project(np.linalg.inv(matrix), picture)
    spare = 1 - 8 / (2 * len(card))  # eight numbers were fitted
    residue = float(np.sqrt(np.mean(np.sum((back - card) ** 2, axis=1)) / 2 / spare))
    return matrix, residue


def _project(matrix: Values, points: Values) -> Values:
    flat = np.column_stack([points, np.ones(len(points))]) @ matrix.T
    found: Values = flat[:, :2] / flat[:, 2:]
    return found


def _bend(points: Values, lens: float, size: tuple[int, int]) -> Values:
    """What the lens does to straight points."""
    middle, half = np.array(size) / 2, np.hypot(*size) / 2
    away = (points - middle) / half
    found: Values = middle + half * away * (1 + lens * np.sum(away**2, axis=1, keepdims=True))
    return found


def _straight(points: Values, lens: float, size: tuple[int, int]) -> Values:
    """The inverse of :func:`_bend`, by repeated correction."""
    found = points
    for _ in range(6 if lens else 0):
        found = found + points - _bend(found, lens, size)
    return found


def flat(
    photo: Photo, view: View, *, box: tuple[float, float, float, float], density: float
) -> Any:
    """Part of the card seen from straight above.

    Parameters
    ----------
    photo : Photo
    view : View
    box : tuple of float
        Left, top, right, bottom on the card. [m]
    density : float
        Of the result. [px/m]

    Returns
    -------
    ndarray
        Colours; what lies outside the photo is black.
    """
    cv2 = vision()
    left, top, right, bottom = box
    columns, rows = round((right - left) * density), round((bottom - top) * density)
    x, y = np.meshgrid((np.arange(columns) + 0.5) / density, (np.arange(rows) + 0.5) / density)
    points = view.place(np.column_stack([(left + x).ravel(), (top + y).ravel()]))
    maps = points.astype(np.float32).reshape(rows, columns, 2)
    return cv2.remap(photo.colours, maps, None, cv2.INTER_LINEAR)
