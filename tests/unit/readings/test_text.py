"""Bytes to text: encodings of spreadsheets, and files that are none."""

from pathlib import Path

import pytest

from lapwright.errors import FileUnreadable
from lapwright.readings.text import MOST_BYTES, decode, load


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_the_same_text_in_every_encoding(encoding: str) -> None:
    """UTF-8 with and without mark, UTF-16 with its mark and the Western code page read alike."""
    text = "weld,note\r\n1,señales € –\n"
    assert decode(text.encode(encoding), file="a.csv") == text


def test_utf_16_of_either_byte_order() -> None:
    """The mark tells the byte order, as spreadsheets write both."""
    assert decode("\ufeffweld".encode("utf-16-le"), file="a.csv") == "weld"
    assert decode("\ufeffweld".encode("utf-16-be"), file="a.csv") == "weld"


def test_a_mark_in_typed_text_is_dropped() -> None:
    """A byte-order mark that came along when text was pasted is not part of a column name."""
    assert decode("\ufeffweld", file="-") == "weld"


@pytest.mark.parametrize(
    "content",
    [
        b"PK\x03\x04\x14\x00\x06\x00",  # a zipped spreadsheet
        b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1",  # an old spreadsheet
        b"weld,air_f\n1,\x00",
        b"weld,\x81\x8d\n",  # in no encoding that is tried
        b"\xff\xfe\x00",  # half a sign of UTF-16
        "weld\x1b[31m",
        "weld\ud800",  # half a character
    ],
)
def test_what_is_not_text_is_refused(content: bytes | str) -> None:
    """Binary files and signs that nobody types are refused before they are parsed."""
    with pytest.raises(FileUnreadable) as caught:
        decode(content, file="a.xlsx")
    assert (caught.value.code, caught.value.data["file"]) == ("not_text", "a.xlsx")


def test_a_file_without_end_is_read_to_the_limit_only(tmp_path: Path) -> None:
    """However long a file is, no more is read than shows that it is too long."""
    path = tmp_path / "long.csv"
    with path.open("wb") as stream:
        stream.truncate(MOST_BYTES * 50)  # a sparse file: takes no room
    content = load(path, file="long.csv")
    assert len(content) == MOST_BYTES + 1
    with pytest.raises(FileUnreadable) as caught:
        decode(content, file="long.csv")
    assert (caught.value.code, caught.value.data["limit"]) == ("file_too_big", "4 MB")


def test_a_file_at_the_limit_is_read() -> None:
    """The limit itself is still allowed."""
    assert len(decode(b"x" * MOST_BYTES, file="a.csv")) == MOST_BYTES


@pytest.mark.parametrize(
    ("name", "code"),
    [
        ("none.csv", "file_missing"),
        ("a.csv/none.csv", "file_missing"),
        ("nul\0.csv", "file_missing"),
        ("folder", "file_is_folder"),
        ("x" * 5000, "file_not_read"),
    ],
)
def test_paths_that_lead_to_no_file(tmp_path: Path, name: str, code: str) -> None:
    """Each way a path can be wrong has its own answer, never a traceback."""
    (tmp_path / "a.csv").touch()
    (tmp_path / "folder").mkdir()
    with pytest.raises(FileUnreadable) as caught:
        load(tmp_path / name, file=name)
    assert (caught.value.code, caught.value.data["file"]) == (code, name)


def test_a_file_without_permission(monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that belongs to somebody else says so (asked of a double: root may read all)."""

    def refuse(*_: object) -> None:
        raise PermissionError

    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(FileUnreadable) as caught:
        load(Path("a.csv"), file="a.csv")
    assert caught.value.code == "file_no_permission"
