"""Files to pictures, and what is no photo."""

from __future__ import annotations

import io
from typing import Any

import numpy as np
import pytest
from PIL import Image

from lapwright.errors import FileUnreadable
from lapwright.readings.photo.picture import MOST_BYTES, read_photo

ORIENTATION, FOCAL_35, EXIF = 0x0112, 41989, 0x8769


def saved(picture: Image.Image, form: str = "PNG", **saving: Any) -> bytes:
    """A picture as a file."""
    file = io.BytesIO()
    picture.save(file, form, **saving)
    return file.getvalue()


def refused(content: bytes) -> str:
    """The code of the refusal."""
    with pytest.raises(FileUnreadable) as caught:
        read_photo(content, name="a.jpg")
    return caught.value.code


def test_photo_is_turned_upright() -> None:
    """What the camera says of its own turn is heeded."""
    picture = Image.new("RGB", (40, 20))
    picture.paste((255, 0, 0), (0, 0, 20, 20))
    exif = picture.getexif()
    exif[ORIENTATION] = 6  # a quarter turn clockwise to be upright
    colours = read_photo(saved(picture, exif=exif), name="a").colours
    assert colours.shape == (40, 20, 3)
    assert colours[5, 10].tolist() == [255, 0, 0]
    assert colours[35, 10].tolist() == [0, 0, 0]


@pytest.mark.parametrize(("said", "focal"), [(26, 26 / 36), (0, None), (9000, None)])
def test_focal_length_is_believed_within_reason(said: int, focal: float | None) -> None:
    """The focal length in film terms is over 36 mm; what no phone has is not believed."""
    picture = Image.new("RGB", (40, 20))
    exif = picture.getexif()
    exif[EXIF] = {FOCAL_35: said}
    assert read_photo(saved(picture, exif=exif), name="a").focal == pytest.approx(focal)


def test_large_photo_is_read_smaller() -> None:
    """More than 4608 pixels a side tells no more and only costs memory."""
    photo = read_photo(saved(Image.new("RGB", (6000, 1000)), "JPEG"), name="a")
    assert max(photo.colours.shape) <= 4608


def test_grey_is_the_brightness() -> None:
    """White is 1, and green is brighter than blue."""
    picture = Image.new("RGB", (3, 1))
    for at, colour in enumerate([(255, 255, 255), (0, 255, 0), (0, 0, 255)]):
        picture.putpixel((at, 0), colour)
    grey = read_photo(saved(picture), name="a").grey[0]
    assert grey == pytest.approx(np.array([1.0, 0.587, 0.114]), abs=1e-6)


def test_what_is_no_photo_is_refused() -> None:
    """A text, a file cut off, printing colours, a moving picture."""
    photo = saved(Image.new("RGB", (400, 300), (9, 99, 199)), "JPEG")
    assert refused(b"a text") == "picture_broken"
    assert refused(photo[: len(photo) // 2]) == "picture_broken"
    assert refused(saved(Image.new("CMYK", (4, 4)), "JPEG")) == "picture_kind"
    frames = [Image.new("RGB", (4, 4), (n, n, n)) for n in (0, 255)]
    moving = saved(frames[0], "WEBP", save_all=True, append_images=frames[1:])
    assert refused(moving) == "picture_kind"


def test_too_much_is_refused_before_it_is_unpacked() -> None:
    """A small file that unpacks to a hundred megapixels never does."""
    assert refused(saved(Image.new("L", (10_000, 10_000)))) == "picture_too_big"
    assert refused(saved(Image.new("1", (20_000, 20_000)))) == "picture_too_big"
    assert refused(bytes(MOST_BYTES + 1)) == "picture_too_big"
