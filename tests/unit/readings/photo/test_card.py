"""The card in a rendered photo: found, fitted, refused."""

from __future__ import annotations

import sys
from typing import Any

import numpy as np
import pytest
from tests.stripphoto import Shot, camera, render

from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.job.scalecard import BITS, HEIGHT, MARKER, WIDTH, marker_places
from lapwright.readings.photo import card
from lapwright.readings.photo.card import View, find_card
from lapwright.readings.photo.picture import Photo

SMALL = (1632, 1224)


def seen(**changed: Any) -> View:
    """The card in a photo of it without a strip."""
    shot = Shot(length=0.0, pixels=SMALL, **changed)
    return find_card(Photo("a", render(shot), 0.8))


def refused(**changed: Any) -> str:
    """The code of the refusal."""
    with pytest.raises(FileUnreadable) as caught:
        seen(**changed)
    return caught.value.code


def test_all_markers_are_seen_where_the_camera_puts_them() -> None:
    """Corners fit the camera that drew them to a tenth of a millimetre, all over the card."""
    shot = Shot(length=0.0, pixels=SMALL, tilt=30.0)
    view = find_card(Photo("a", render(shot), 0.8))
    assert view.markers == tuple(BITS)
    places = np.array([(x, y) for x in (0, WIDTH / 2, WIDTH) for y in (0, HEIGHT)])
    drawn = camera(shot) @ np.column_stack([1000 * places, np.ones(len(places))]).T
    off = np.linalg.norm(view.place(places) - (drawn[:2] / drawn[2]).T, axis=1)
    assert off.max() / view.density(WIDTH / 2, HEIGHT / 2) < 1e-4
    assert view.residue < 1e-4
    assert view.slant == pytest.approx(30, abs=1.5)


def test_distance_comes_with_the_focal_length() -> None:
    """As far as the camera was held, to a few hundredths."""
    focal, fill = 0.8, 0.75
    assert seen(tilt=0.0).distance == pytest.approx(focal * WIDTH / fill, rel=0.05)


def test_what_lies_higher_looks_larger() -> None:
    """A plane 2 mm above the card is seen nearer by just those 2 mm."""
    view = seen(tilt=0.0)
    higher = view.raised(0.002)
    middle = (WIDTH / 2, HEIGHT / 2)
    larger = higher.density(*middle) / view.density(*middle)
    assert larger == pytest.approx(view.distance / (view.distance - 0.002), rel=1e-3)


def test_two_covered_markers_do_no_harm() -> None:
    """A thumb on two markers leaves six, and the same card."""
    view = seen(cover=2)
    assert len(view.markers) == 6
    corner = np.array([marker_places()[107]]) + MARKER
    assert np.linalg.norm(view.place(corner) - seen().place(corner)) < 2


def test_lens_is_fitted() -> None:
    """A lens that bends straight lines is told from a bent card."""
    assert abs(seen(lens=0.08).lens) > 3 * abs(seen().lens) + 0.02


@pytest.mark.parametrize(
    ("code", "changed"),
    [
        ("band_no_card", {"cover": 5}),
        ("band_no_card", {"fill": 0.08}),
        ("band_two_cards", {"cards": 2, "fill": 0.4}),
        ("band_far", {"fill": 0.4}),
        ("band_slant", {"tilt": 52.0, "fill": 0.6, "turn": 0.0}),
        ("band_bent", {"bend": 12.0, "tilt": 30.0}),
    ],
)
def test_a_card_that_cannot_be_measured_by_is_refused(code: str, changed: dict[str, Any]) -> None:
    """Covered, twice, too far, too slanted, bent: each has its own sentence."""
    assert refused(**changed) == code


def test_no_card_at_all_is_refused() -> None:
    """A photo of something else says how many markers were found: none."""
    with pytest.raises(FileUnreadable) as caught:
        find_card(Photo("a", np.full((300, 400, 3), 128, np.uint8), None))
    assert (caught.value.code, caught.value.data["found"]) == ("band_no_card", 0)


def test_without_the_extra_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    """OpenCV is not there: one sentence, no trace of calls."""
    monkeypatch.setitem(sys.modules, "cv2", None)
    with pytest.raises(LapwrightError) as caught:
        card.vision()
    assert caught.value.code == "photo_extra"
