"""Photos for paper: upright, small, without what the camera wrote; never the end of a paper."""

from __future__ import annotations

import io
import struct
import zlib
from typing import Any

import pytest
from PIL import Image, ImageCms

from lapwright.report.paper.photos import SIDE, SMALL, Printed, printed


def photo(size: tuple[int, int] = (400, 300), form: str = "JPEG", **more: Any) -> bytes:
    """A photo, red on the left and blue on the right."""
    picture = Image.new("RGB", size, "red")
    picture.paste("blue", (size[0] // 2, 0, size[0], size[1]))
    written = io.BytesIO()
    picture.save(written, form, **more)
    return written.getvalue()


def opened(content: bytes | None) -> Image.Image:
    """What was made of it, read again."""
    assert content is not None
    return Image.open(io.BytesIO(content))


@pytest.mark.parametrize(
    "content",
    [b"", b"\xff\xd8\xff", photo()[:200], photo()[:700], photo(form="PNG")[:90], b"%PDF-1.7",
     b"\0" * 5000],
    ids=range(7),
)  # fmt: skip
def test_what_is_no_photo_is_none(content: bytes) -> None:
    """Nothing, a beginning, half of one, something else: told, never a crash."""
    assert printed(content) is None


def test_a_broken_png_is_none() -> None:
    """Its parts do not fit their sums."""
    whole = bytearray(photo(form="PNG"))
    whole[40] ^= 0xFF
    assert printed(bytes(whole)) is None


def test_a_picture_too_large_to_unpack_is_none() -> None:
    """A file of 60 bytes that claims 60,000 by 60,000 points fills no memory."""
    head = struct.pack(">LLBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0)
    part = (
        struct.pack(">L", len(head))
        + b"IHDR"
        + head
        + struct.pack(">L", zlib.crc32(b"IHDR" + head))
    )
    assert printed(b"\x89PNG\r\n\x1a\n" + part) is None


def test_a_large_photo_becomes_small_in_its_proportions() -> None:
    """The longer side is what a third of a page needs."""
    assert opened(printed(photo((4000, 3000)))).size == (SIDE, SIDE * 3 // 4)
    assert opened(printed(photo((300, 4000)))).height == SIDE
    assert opened(printed(photo((4000, 3000)), side=SMALL)).size == (SMALL, SMALL * 3 // 4)


def test_a_small_photo_is_not_blown_up() -> None:
    """Points that were not there are not invented."""
    assert opened(printed(photo((40, 30)))).size == (40, 30)


@pytest.mark.parametrize(
    ("turn", "size", "red"),
    [(1, (400, 300), "left"), (3, (400, 300), "right"), (6, (300, 400), "top"),
     (8, (300, 400), "bottom")],
)  # fmt: skip
def test_a_turned_camera_gives_an_upright_photo(turn: int, size: tuple[int, int], red: str) -> None:
    """Exif 2.3, tag 274: 6 is to be turned a quarter clockwise, 8 the other way, 3 by half."""
    exif = Image.Exif()
    exif[274] = turn
    made = opened(printed(photo(exif=exif))).convert("RGB")
    assert made.size == size
    width, height = size
    edge = {"left": (9, height // 2), "right": (width - 9, height // 2),
            "top": (width // 2, 9), "bottom": (width // 2, height - 9)}  # fmt: skip
    for side, place in edge.items():
        pixel = made.getpixel(place)
        assert isinstance(pixel, tuple)
        assert (pixel[0] > 150 and pixel[2] < 110) if side == red else True
    assert 274 not in made.getexif()


def test_place_and_camera_do_not_reach_the_paper() -> None:
    """Neither exif nor a comment nor a profile."""
    exif = Image.Exif()
    exif[271] = "SECRET maker"
    content = printed(photo(exif=exif, comment=b"SECRET place"))
    assert content is not None
    assert b"SECRET" not in content
    assert b"Exif" not in content


def test_the_same_photo_gives_the_same_bytes() -> None:
    """Or no paper could be compared."""
    assert printed(photo()) == printed(photo())


def test_what_is_ready_is_not_scaled_twice() -> None:
    """A photo taken from the page of a paper stays as it is there."""
    once = printed(photo((2000, 1000)))
    assert once is not None
    assert printed(once) is once
    assert isinstance(once, Printed)


@pytest.mark.parametrize("mode", ["L", "RGBA", "CMYK", "P", "1", "I;16"])
def test_any_kind_of_points_is_printed(mode: str) -> None:
    """Grey, seen through, for a press, from a palette."""
    form = {"CMYK": "JPEG"}.get(mode, "PNG")
    picture, written = Image.new(mode, (30, 20)), io.BytesIO()
    picture.save(written, form)
    assert opened(printed(written.getvalue())).mode == "RGB"


def test_a_profile_is_applied_and_a_broken_one_is_not() -> None:
    """Neither keeps the photo from the page."""
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    for given in (profile, b"no profile"):
        assert opened(printed(photo(icc_profile=given))).size == (400, 300)
