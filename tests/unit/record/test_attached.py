"""The record inside a paper: one entry a line, checked link by link, the same bytes again."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from dataclasses import replace

import pytest
import rfc8785

from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.record.attached import read_record, record_json
from lapwright.record.chain import NOTHING, Entry, seal, verify
from lapwright.record.fact import Fact

Build = Callable[..., Fact]


@pytest.fixture
def entries(fact: Build) -> list[Entry]:
    """Four facts, chained, one with signs that JSON must escape."""
    notes = ["", 'a "void"\n\\ at 12’', "señal", "-"]
    chain: list[Entry] = []
    for seq, note in enumerate(notes, start=1):
        before = chain[-1].hash if chain else NOTHING
        now = f"2026-05-04T13:0{seq}:00Z"
        chain.append(seal(fact(seq, note=note), seq=seq, received_at=now, before=before))
    return chain


def refused(content: bytes) -> LapwrightError:
    """Why the bytes are no record."""
    with pytest.raises(LapwrightError) as caught:
        list(read_record(content, name="roof.pdf"))
    return caught.value


def test_what_was_written_is_read_again(entries: list[Entry]) -> None:
    """A chain of any length comes back entry for entry, and gives the same bytes again."""
    for count in range(1, len(entries) + 1):
        content = record_json(entries[:count])
        assert list(read_record(content, name="roof.pdf")) == entries[:count]
        assert record_json(read_record(content, name="roof.pdf")) == content


def test_the_file_is_plain_json_that_anybody_can_check(entries: list[Entry]) -> None:
    """A reader of JSON finds format, job, entries and head; each hash is SHA-256 of RFC 8785."""
    read = json.loads(record_json(entries))
    assert (read["format"], read["version"]) == ("lapwright record", 1)
    assert read["job"] == entries[0].fact.job
    assert read["entries"] == [entry.plain() for entry in entries]
    assert read["head"] == {"seq": 4, "hash": verify(entries)}
    for line in read["entries"]:
        own = line.pop("hash")
        assert hashlib.sha256(rfc8785.dumps(line)).hexdigest() == own


def test_one_entry_stands_on_each_line(entries: list[Entry]) -> None:
    """The second line is the first entry in canonical form, and so on to the head."""
    first, *lines, last = record_json(entries).splitlines()
    assert first.endswith(b'"entries":[')
    assert [line.rstrip(b",") for line in lines] == [
        rfc8785.dumps(entry.plain()) for entry in entries
    ]
    assert last.startswith(b'],"head":')


def test_any_bit_that_changes_shows(entries: list[Entry]) -> None:
    """One bit flipped anywhere in the file: it is refused, and not one fact is taken otherwise."""
    content = record_json(entries[:2])
    for at in range(len(content)):
        changed = bytearray(content)
        changed[at] ^= 1 << (at % 7)
        code = refused(bytes(changed)).code
        assert code in ("paper_record", "chain_broken") or code.startswith("fact_"), at


def test_a_record_cut_short_or_grown_is_refused(entries: list[Entry]) -> None:
    """No end may be missing and nothing may follow: at every length but its own it is refused."""
    content = record_json(entries[:2])
    for length in range(len(content)):
        assert refused(content[:length]).code == "paper_record", length
    for more in (b"\n", b" ", b"{}", content):
        assert refused(content + more).code == "paper_record"
    unended = content[: content.index(b'\n],"head"')] + b"\r"
    assert refused(unended).data["row"] == 3


@pytest.mark.parametrize(("gone", "line"), [(0, 1), (1, 2), (2, 3)])
def test_an_entry_left_out_breaks_the_chain(entries: list[Entry], gone: int, line: int) -> None:
    """Written or read, a chain without one of its entries is broken where the next one stands."""
    left = [*entries[:gone], *entries[gone + 1 :]]
    with pytest.raises(LapwrightError) as caught:
        record_json(left)
    assert (caught.value.code, caught.value.data["at"]) == ("chain_broken", line)
    lines = record_json(entries).split(b"\n")
    del lines[1 + gone]
    broken = refused(b"\n".join(lines))
    assert (broken.code, broken.data["at"]) == ("chain_broken", line)


def test_the_last_entry_left_out_shows_in_the_head(entries: list[Entry]) -> None:
    """A shorter chain is whole by itself; the head at the end of the file says that it was not."""
    lines = record_json(entries).split(b"\n")
    del lines[4]
    lines[3] = lines[3].removesuffix(b",")
    error = refused(b"\n".join(lines))
    assert isinstance(error, FileUnreadable)
    assert (error.code, error.data["row"]) == ("paper_record", 5)


CHANGES: dict[str, Callable[[Entry], Entry]] = {
    "fact": lambda entry: replace(entry, fact=replace(entry.fact, note="changed")),
    "job": lambda entry: seal(
        replace(entry.fact, job=entry.fact.job[:-1] + "b"),
        seq=entry.seq, received_at=entry.received_at, before=entry.before,
    ),
    "place": lambda entry: seal(
        entry.fact, seq=7, received_at=entry.received_at, before=entry.before
    ),
    "clock": lambda entry: replace(entry, received_at="2026-05-04T13:09:00Z"),
    "before": lambda entry: seal(
        entry.fact, seq=entry.seq, received_at=entry.received_at, before=NOTHING
    ),
    "hash": lambda entry: replace(entry, hash="f" * 64),
}  # fmt: skip


@pytest.mark.parametrize("what", CHANGES)
def test_a_broken_chain_is_not_written(entries: list[Entry], what: str) -> None:
    """Fact, job, place, clock and hashes are checked on the way out, also if sealed anew."""
    entries[2] = CHANGES[what](entries[2])
    with pytest.raises(LapwrightError) as caught:
        record_json(entries)
    assert (caught.value.code, caught.value.data["at"]) == ("chain_broken", 3)
    assert caught.value.data["fact"] == entries[2].fact.id


def test_without_an_entry_there_is_no_job() -> None:
    """An empty chain has no record to carry."""
    with pytest.raises(LapwrightError) as caught:
        record_json([])
    assert caught.value.code == "job_unknown"


def test_facts_are_checked_as_a_server_checks_them(entries: list[Entry]) -> None:
    """What is no entry is refused by its line, what is no fact by what is wrong with it."""
    lines = record_json(entries).split(b"\n")
    whole = json.loads(lines[2].removesuffix(b","))
    for change in (
        {"seq": "2"},
        {"seq": True},
        {"hash": None},
        {"received_at": 5},
        {"received_at": "\ud800"},
        {"more": 1},
        {"fact": {**whole["fact"], "note": "changed"}, "hash": 5},
    ):
        wrong = json.dumps(whole | change).encode() + b","
        error = refused(b"\n".join([*lines[:2], wrong, *lines[3:]]))
        assert (error.code, error.data.get("row")) == ("paper_record", 3), change
        assert error.data["file"] == "roof.pdf"
    for code, fact in (
        ("fact_unknown_kind", whole["fact"] | {"kind": "no_such_kind"}),
        ("fact_value", whole["fact"] | {"note": 5}),
    ):
        wrong = rfc8785.dumps(whole | {"fact": fact}) + b","
        assert refused(b"\n".join([*lines[:2], wrong, *lines[3:]])).code == code
    for wrong in (b"[]", b"5", b"", b"[" * 100_000):
        error = refused(b"\n".join([*lines[:2], wrong, *lines[3:]]))
        assert (error.code, error.data.get("row")) == ("paper_record", 3)


def test_the_same_said_in_other_spaces_is_not_taken(entries: list[Entry]) -> None:
    """Only the canonical bytes count, so that the same chain has one file and no other."""
    lines = record_json(entries).split(b"\n")
    for row in (1, 2):
        other = list(lines)
        other[row - 1] = other[row - 1].replace(b":", b": ", 1)
        error = refused(b"\n".join(other))
        assert (error.code, error.data["row"]) == ("paper_record", row)


def test_what_is_no_record_is_refused_at_its_first_line() -> None:
    """Empty, another format, or another version's first line: line 1 is named."""
    later = b'{"format":"lapwright record","job":"x","version":2,"entries":[\n'
    other = b'{"format":"lapwright record"}\n'
    for content in (b"", b"\n", b"{}\n", b"[" * 100_000 + b"\n", other, later):
        error = refused(content)
        assert (error.code, error.data["row"]) == ("paper_record", 1)
