"""Photos: whole or not there, named by their content, pictures only."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from lapwright.errors import LapwrightError
from lapwright.store.photos import LARGEST, Photos, file_type, image_type

# First bytes: JPEG, ITU-T T.81 annex B (SOI marker FFD8, then a marker); PNG, ISO/IEC 15948
# clause 5.2; WebP, RFC 9649 section 2.4 ("RIFF", size, "WEBP").
JPEG = bytes.fromhex("ffd8ffe000104a46494600010100")
PNG = bytes.fromhex("89504e470d0a1a0a0000000d49484452")
WEBP = b"RIFF\x1a\x00\x00\x00WEBPVP8 "


def name_of(content: bytes) -> str:
    """SHA-256 as the name of a file."""
    return hashlib.sha256(content).hexdigest()


@pytest.mark.parametrize(
    ("content", "expected"),
    [(JPEG, "image/jpeg"), (PNG, "image/png"), (WEBP, "image/webp"), (b"", None),
     (b"GIF89a", None), (b"<svg/>", None), (b"RIFF\0\0\0\0WAVE", None), (PNG[:7], None)],
)  # fmt: skip
def test_a_picture_is_known_by_its_first_bytes(content: bytes, expected: str | None) -> None:
    """Three kinds of pictures are known, whatever a name or a header says."""
    assert image_type(content) == expected


def test_a_photo_is_kept_once(tmp_path: Path) -> None:
    """The same photo sent twice is one file, and no half-written file stays beside it."""
    photos = Photos(tmp_path / "photos")
    assert list(photos) == []
    assert photos.put(name_of(PNG), PNG)
    assert not photos.put(name_of(PNG), PNG)
    assert photos.put(name_of(JPEG), JPEG)
    assert photos.get(name_of(PNG)) == PNG
    assert photos.has(name_of(JPEG))
    assert list(photos) == sorted([name_of(PNG), name_of(JPEG)])
    assert len([path for path in (tmp_path / "photos").rglob("*") if path.is_file()]) == 2


@pytest.mark.parametrize(
    ("name", "content", "code"),
    [
        (name_of(JPEG), PNG, "photo_differs"),
        ("../../etc/passwd", PNG, "photo_differs"),
        (name_of(b"\x7fELF\x02\x00"), b"\x7fELF\x02\x00", "photo_type"),
        (name_of(PNG), PNG + bytes(LARGEST), "photo_too_large"),
    ],
)
def test_what_is_no_photo_is_refused(tmp_path: Path, name: str, content: bytes, code: str) -> None:
    """Another hash, another kind of file and more than 16 MB are refused; nothing is written."""
    photos = Photos(tmp_path / "photos")
    with pytest.raises(LapwrightError, match=code):
        photos.put(name, content)
    assert not (tmp_path / "photos").exists()


@pytest.mark.parametrize("text", ["1; 0,02; 0,9", "Tira;Fuerza\n1;0,9 °"])
@pytest.mark.parametrize("code", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_a_gauge_s_table_is_kept_as_it_was(tmp_path: Path, text: str, code: str) -> None:
    """Whatever program wrote the text; nothing is told of it but that it is a table."""
    content, photos = text.encode(code), Photos(tmp_path)
    photos.put(name_of(content), content)
    assert photos.get(name_of(content)) == content
    assert (file_type(content), image_type(content)) == ("text/csv", None)


def test_a_photo_at_the_limit_is_kept(tmp_path: Path) -> None:
    """Exactly 16 MB still fit."""
    content = PNG + bytes(LARGEST - len(PNG))
    assert Photos(tmp_path).put(name_of(content), content)


@pytest.mark.parametrize("name", ["", "../x", "A" * 64, "0" * 64])
def test_a_name_that_is_none_leads_nowhere(tmp_path: Path, name: str) -> None:
    """Only the hash of a kept photo finds a file; no name leads out of the folder."""
    (tmp_path / "x").write_bytes(PNG)
    photos = Photos(tmp_path / "photos")
    assert photos.get(name) is None
    assert not photos.has(name)


def test_a_damaged_photo_is_told(tmp_path: Path) -> None:
    """A file that is no longer what its name says is never given out."""
    photos = Photos(tmp_path)
    photos.put(name_of(PNG), PNG)
    (path,) = (path for path in tmp_path.rglob("*") if path.is_file())
    path.write_bytes(PNG[:-1])
    with pytest.raises(LapwrightError, match="photo_damaged"):
        photos.get(name_of(PNG))


def test_a_write_that_fails_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When the disk is full half way, there is no file, neither whole nor in part."""

    def full(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    photos = Photos(tmp_path)
    with pytest.raises(LapwrightError) as caught:
        photos.put(name_of(PNG), PNG)
    assert caught.value.code == "photo_not_kept"
    assert list(photos) == []
    assert not [path for path in tmp_path.rglob("*") if path.is_file()]
