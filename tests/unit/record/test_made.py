"""What a paper was made with: it comes back whole, in one form of bytes and no other."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest
import rfc8785

from lapwright.errors import FileUnreadable
from lapwright.record.made import Made, read_made

A, B = "a1" * 32, "b2" * 32  # SHA-256 of photos
MADE = Made(
    kind="job",
    day="",
    language="es",
    units="metric",
    at="2026-05-08T17:00:00-06:00",
    rules=(("house.toml", "# límites\r\n[probe]\nwait = 30\n"), ("roof.toml", "")),
    photos={B: A, A: B},
    versions={"lapwright": "0.9.0", "typst": "0.15.2"},
)


def refused(content: bytes) -> FileUnreadable:
    """Why the bytes are not what a paper was made with."""
    with pytest.raises(FileUnreadable) as caught:
        read_made(content, name="day.pdf")
    assert caught.value.data["file"] == "day.pdf"
    return caught.value


def changed(**parts: Any) -> bytes:
    """The attachment with some parts said otherwise, in canonical form."""
    return rfc8785.dumps(json.loads(MADE.json()) | parts) + b"\n"


@pytest.mark.parametrize(
    "made",
    [
        MADE,
        Made("day", "2026-05-04", "en", "us", "2026-05-04T17:00:00-06:00"),
        replace(MADE, rules=(("b.toml", "x"), ("a.toml", "y")), photos={}),
    ],
)
def test_what_was_written_is_read_again(made: Made) -> None:
    """Kind, day, reader, moment, rules in their order, photos and programs all come back."""
    assert read_made(made.json(), name="day.pdf") == made


def test_the_same_making_gives_the_same_bytes() -> None:
    """Photos and programs noted in another order change nothing; rules in another order do."""
    turned = replace(
        MADE,
        photos=dict(sorted(MADE.photos.items())),
        versions=dict(reversed(MADE.versions.items())),
    )
    assert turned.json() == MADE.json()
    assert replace(MADE, rules=MADE.rules[::-1]).json() != MADE.json()


def test_the_attachment_is_plain_json() -> None:
    """A reader of JSON finds format, version, rule files with name and text, and photos."""
    read = json.loads(MADE.json())
    assert (read["format"], read["version"]) == ("lapwright paper", 1)
    assert read["rules"][0] == {"file": "house.toml", "text": "# límites\r\n[probe]\nwait = 30\n"}
    assert read["photos"] == {A: B, B: A}
    assert rfc8785.dumps(read) + b"\n" == MADE.json()


def test_every_part_is_in_the_bytes() -> None:
    """Change any part of a making and its bytes change."""
    others: dict[str, Any] = {
        "kind": "day", "day": "2026-05-04", "language": "en", "units": "us", "at": "2026-05-09",
        "rules": MADE.rules[:1], "photos": {A: A}, "versions": {"lapwright": "0.9.1"},
    }  # fmt: skip
    assert set(others) == set(Made.__dataclass_fields__)
    for name, value in others.items():
        other = replace(MADE, **{name: value})
        assert other.json() != MADE.json()
        assert read_made(other.json(), name="x") == other


def test_any_byte_that_changes_shows() -> None:
    """Another byte anywhere is refused or read as another making, never as the same one."""
    content = MADE.json()
    for at in range(len(content)):
        other = bytearray(content)
        other[at] ^= 1
        try:
            read = read_made(bytes(other), name="day.pdf")
        except FileUnreadable:
            continue
        assert read != MADE


def test_only_the_canonical_bytes_are_taken() -> None:
    """Other spaces, other order, something more, something less: altered."""
    content = MADE.json()
    plain = json.loads(content)
    for other in (
        content[:-1],
        content + b"\n",
        json.dumps(plain).encode() + b"\n",
        changed(more="x"),
        content.replace(b"\\r", b"\\u000d"),
    ):
        assert refused(other).code == "paper_made"
    for name in plain:
        less = rfc8785.dumps({key: plain[key] for key in plain if key != name}) + b"\n"
        assert refused(less).code == "paper_made"


@pytest.mark.parametrize(
    "parts",
    [
        {"kind": "week"},
        {"kind": ["job"]},
        {"day": None},
        {"language": 5},
        {"format": "lapwright record"},
        {"format": "lapwright record", "version": 2},
        {"version": 0},
        {"version": "2"},
        {"version": True},
        {"rules": [["house.toml", "x"]]},
        {"rules": [{"file": "house.toml", "text": 5}]},
        {"rules": {"house.toml": "x"}},
        {"photos": {"a.jpg": A}},
        {"photos": {A: "b.jpg"}},
        {"photos": {A: A.upper()}},
        {"photos": {A: A + "\n"}},
        {"photos": {A: 5}},
        {"photos": [A]},
        {"versions": {"typst": 15}},
        {"versions": "typst"},
    ],
    ids=str,
)
def test_what_no_paper_says_is_refused(parts: dict[str, Any]) -> None:
    """A kind, text, rule, photo or program that this file never holds: altered."""
    assert refused(changed(**parts)).code == "paper_made"


LONE = changed(at="AT").replace(b"AT", b"\\ud800")  # half of a sign, which no text may hold


@pytest.mark.parametrize("content", [b"", b"5", b"[]", b"{}", b"\xff", b"[" * 100_000, LONE])
def test_what_is_no_attachment_is_refused(content: bytes) -> None:
    """Nothing, other JSON, no JSON, JSON without end: altered."""
    assert refused(content).code == "paper_made"


def test_a_later_lapwright_is_named() -> None:
    """A later version is not called altered: which one it is, and which is known."""
    error = refused(changed(version=2, more="x"))
    assert (error.code, error.data["value"], error.data["known"]) == ("archive_version", "2", 1)
