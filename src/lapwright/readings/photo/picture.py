"""Bytes of a photo to a picture, trusting nothing that they say about themselves."""

from __future__ import annotations

import io
import warnings
from dataclasses import dataclass
from typing import Any

import numpy as np
from PIL import Image, ImageOps

from lapwright.errors import FileUnreadable

MOST_BYTES = 40 * 2**20  # of a file
MOST_PIXELS = 64_000_000  # what phones make; more is a scan or a trap
_LONG_SIDE = 4608  # px to measure in; a finer photo is read smaller
_KINDS = ("JPEG", "PNG", "WEBP")
_MODES = ("RGB", "RGBA", "L")
_FOCAL_35 = 41989  # tag of EXIF: focal length as if on 36 mm wide film, in mm
_EXIF_PART = 0x8769
_FILM = 36.0  # mm

Mask = np.ndarray[Any, np.dtype[np.bool_]]
Grey = np.ndarray[Any, np.dtype[np.float32]]
Colours = np.ndarray[Any, np.dtype[np.uint8]]


@dataclass(frozen=True)
class Photo:
    """A photo, upright.

    Parameters
    ----------
    name : str
        Of the file.
    colours : ndarray, shape (rows, columns, 3)
        Red, green, blue.
    focal : float, optional
        Focal length over the long side, if the file says one that a phone can have.
    """

    name: str
    colours: Colours
    focal: float | None

    @property
    def grey(self) -> Grey:
        """Brightness, 0 to 1."""
        weights = np.array([0.299, 0.587, 0.114], np.float32)  # red, green, blue; Rec. ITU-R BT.601
        found: Grey = (self.colours @ weights) / np.float32(255)
        return found


def read_photo(content: bytes, *, name: str) -> Photo:
    """The picture in a file, turned as its camera says.

    Parameters
    ----------
    content : bytes
        JPEG, PNG or WebP.
    name : str
        For what is said about it.

    Returns
    -------
    Photo

    Raises
    ------
    FileUnreadable
        ``picture_too_big``, ``picture_kind``, ``picture_broken``.
    """
    if len(content) > MOST_BYTES:
        raise FileUnreadable("picture_too_big", file=name, limit=f"{MOST_BYTES // 2**20} MB")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            return _photo(content, name)
    except FileUnreadable:
        raise
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
        raise _too_many(name) from error
    except Exception as error:  # a decoder fails in any way on a made-up file
        raise FileUnreadable("picture_broken", file=name) from error


def _too_many(name: str) -> FileUnreadable:
    limit = f"{MOST_PIXELS // 10**6} megapixels"
    return FileUnreadable("picture_too_big", file=name, limit=limit)


def _photo(content: bytes, name: str) -> Photo:
    with Image.open(io.BytesIO(content), formats=_KINDS) as image:
        width, height = image.size
        if width * height > MOST_PIXELS:
            raise _too_many(name)
        moves = image.format in ("PNG", "WEBP") and getattr(image, "n_frames", 1) > 1
        if moves or image.mode not in _MODES:
            raise FileUnreadable("picture_kind", file=name)
        focal = _focal(image)
        if max(width, height) > _LONG_SIDE:
            image.draft("RGB", (_LONG_SIDE, _LONG_SIDE))  # of a JPEG: reads less of it
        upright = ImageOps.exif_transpose(image).convert("RGB")
        upright.thumbnail((_LONG_SIDE, _LONG_SIDE), Image.Resampling.BOX)
        return Photo(name, np.asarray(upright), focal)


def _focal(image: Image.Image) -> float | None:
    """Focal length over the long side: what a camera says of itself, if it can be true."""
    said = image.getexif().get_ifd(_EXIF_PART).get(_FOCAL_35)
    share = float(said) / _FILM if isinstance(said, int | float) else 0.0
    return share if 0.3 < share < 5 else None
