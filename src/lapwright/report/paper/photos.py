"""Photos made ready for paper: upright, small, and with nothing in them but the picture."""

from __future__ import annotations

from io import BytesIO

from PIL import Image, ImageCms, ImageOps

SIDE = 1000  # px of the longer side: who looks closer than the page still sees something
MANY, SMALL = 100, 660  # of so many photos each has 300 px to the inch at a third of the page
QUALITY = 70  # of JPEG
_LARGEST = 64_000_000  # px of a picture that must be unpacked whole; a JPEG is read smaller at once
_UNREADABLE = (
    OSError,
    SyntaxError,  # a broken PNG
    ValueError,
    Image.DecompressionBombError,
    Image.DecompressionBombWarning,
)


def _in_srgb(picture: Image.Image) -> Image.Image:
    """The colours as paper takes them, whatever the camera meant by its figures."""
    profile = picture.info.get("icc_profile")
    if profile and picture.mode == "RGB":
        try:
            given = ImageCms.ImageCmsProfile(BytesIO(profile))
            srgb = ImageCms.createProfile("sRGB")
            return ImageCms.profileToProfile(picture, given, srgb) or picture
        except (ImageCms.PyCMSError, OSError):  # a broken profile
            return picture
    return picture.convert("RGB")


class Printed(bytes):
    """A photo that is ready for print already: never scaled twice."""


def side_of(count: int) -> int:
    """Longer side of each print in a paper of so many. [px]

    Examples
    --------
    >>> side_of(12), side_of(300)
    (1000, 660)
    """
    return SIDE if count <= MANY else SMALL


def printed(content: bytes, *, side: int = SIDE) -> Printed | None:
    """A photo as JPEG for print, its longer side at most so many px; None if it cannot be read.

    Upright as the camera was held. Place, time, camera and all else that it carried is gone.
    """
    if isinstance(content, Printed):
        return content
    try:
        with Image.open(BytesIO(content)) as picture:
            picture.draft("RGB", (side, side))
            if picture.width * picture.height > _LARGEST:
                return None
            upright = ImageOps.exif_transpose(picture)
            upright.thumbnail((side, side), reducing_gap=2.0)
            written = BytesIO()
            _in_srgb(upright).save(
                written, "JPEG", quality=QUALITY, exif=b"", icc_profile=None, comment=b""
            )
    except _UNREADABLE:
        return None
    return Printed(written.getvalue())
