"""The open archive of a job: there and back to the byte, and refused in words when it is broken."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import struct
import subprocess
import sys
import textwrap
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from lapwright.errors import LapwrightError
from lapwright.record.chain import seal
from lapwright.record.fact import KINDS, Fact
from lapwright.store import Store
from lapwright.store.archive import read_archive, write_archive
from lapwright.store.check import check_job
from lapwright.store.csvtables import columns

Build = Callable[..., Fact]
NOW = "2026-05-04T13:06:00Z"
PNG = bytes.fromhex("89504e470d0a1a0a0000000d49484452")
SHA = hashlib.sha256(PNG).hexdigest()
LOST = "0" * 63 + "1"


@pytest.fixture
def job(store: Store, fact: Build) -> str:
    """A job with a photo, one that has not come, a weld that was corrected, one taken back."""
    weld = fact(
        2, "test_weld", number="1", machine=fact(90).id, operator=fact(91).id,
        conditions=fact(92).id, air={"typed": "850", "unit": "f", "how": "set"},
        speed={"typed": "3,05", "unit": "m_min", "how": "measured"}, note="=2+2",
    )  # fmt: skip
    facts = [
        fact(1, "job", name="Techo Ñandú \U0001f525", invented=True),
        weld,
        fact(3, "photo", file=SHA, of=weld.id),
        fact(4, "photo", file=LOST, of=weld.id),
        fact(5, "correction", of=weld.id, field="number", old="1", new="2", reason="mistyped"),
        fact(
            6, "correction", of=fact(3).id, field="withdrawn", old=False, new=True, reason="twice"
        ),
        fact(7, "person", name="-Ana", language="es", units="metric", tasks=["probe", "sign"]),
    ]
    store.photos.put(SHA, PNG)
    store.ledger.append(weld.job, facts[:4], received_at=NOW)
    store.ledger.append(weld.job, facts[4:], received_at="2026-05-04T13:07:00Z")
    return weld.job


@pytest.fixture
def second(new_place: Callable[[str], str], opened: Callable[..., Store]) -> Store:
    """Another store, empty."""
    return opened(new_place("sqlite"))


def written(store: Store, job: str) -> bytes:
    """The archive of a job."""
    file = io.BytesIO()
    write_archive(store, job=job, file=file)
    return file.getvalue()


def read(content: bytes, store: Store | None = None) -> object:
    """What reading an archive finds."""
    return read_archive(io.BytesIO(content), name="roof.zip", store=store)


def changed(content: bytes, name: str, change: Callable[[bytes], bytes]) -> bytes:
    """The archive with one of its files changed."""
    new = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as old, zipfile.ZipFile(new, "w") as zipped:
        for part in old.namelist():
            was = old.read(part)
            zipped.writestr(part, change(was) if part == name else was)
    return new.getvalue()


@pytest.mark.parametrize("other", ["sqlite", "postgresql"])
def test_there_and_back_is_the_same_to_the_byte(
    store: Store,
    job: str,
    other: str,
    new_place: Callable[[str], str],
    opened: Callable[..., Store],
) -> None:
    """Read into an empty store of either engine and written again, the archive is the same."""
    archive = written(store, job)
    second = opened(new_place(other))
    found = read_archive(io.BytesIO(archive), name="roof.zip", store=second)
    assert second.ledger.since(job) == store.ledger.since(job)
    assert second.ledger.head(job) == store.ledger.head(job) == found.head
    assert second.photos.get(SHA) == PNG
    assert check_job(second, job) == check_job(store, job) == found
    assert written(second, job) == archive


def test_it_says_what_has_not_come(store: Store, job: str) -> None:
    """A photo that a fact names and that is not there is listed, in the archive too."""
    archive = written(store, job)
    assert check_job(store, job).missing == (LOST,)
    with zipfile.ZipFile(io.BytesIO(archive)) as zipped:
        label = json.loads(zipped.read("archive.json"))
    assert label["missing"] == [LOST]
    assert (label["entries"], label["hash"]) == (7, store.ledger.head(job).hash)


def test_reading_twice_changes_nothing_and_a_later_archive_adds(
    store: Store,
    job: str,
    fact: Build,
    second: Store,
) -> None:
    """An archive may be read again; one of the same chain, grown since, adds what is new."""
    early = written(store, job)
    store.ledger.append(job, [fact(20)], received_at=NOW)
    late = written(store, job)
    for archive, entries in ((early, 7), (early, 7), (late, 8), (early, 8), (late, 8)):
        read(archive, second)
        assert second.ledger.head(job).seq == entries
    assert second.ledger.since(job) == store.ledger.since(job)


def test_a_chain_that_went_another_way_is_refused(
    store: Store,
    job: str,
    fact: Build,
    second: Store,
) -> None:
    """Two stores that went on differently are not mixed; the one read into stays as it was."""
    read(written(store, job), second)
    store.ledger.append(job, [fact(20)], received_at=NOW)
    second.ledger.append(job, [fact(21)], received_at=NOW)
    before = second.ledger.since(job)
    with pytest.raises(LapwrightError, match="chain_forks") as caught:
        read(written(store, job), second)
    assert caught.value.data["at"] == 8
    assert second.ledger.since(job) == before


def test_an_unknown_job_has_no_archive(store: Store) -> None:
    """Asking for a job that is not there is refused, not answered with an empty file."""
    with pytest.raises(LapwrightError, match="job_unknown"):
        written(store, "01976d00-0000-7000-8000-0000000000ff")


# --- what is refused --------------------------------------------------------------------------


def _lines(change: Callable[[list[bytes]], list[bytes]]) -> Callable[[bytes], bytes]:
    return lambda content: b"".join(change(content.splitlines(keepends=True)))


def _forged(content: bytes) -> bytes:
    """A changed fact with a hash that fits itself: the next entry gives it away."""
    lines = content.splitlines()
    raw = json.loads(lines[0])
    fact = Fact(**{**raw["fact"], "note": "forged"})
    entry = seal(fact, seq=1, received_at=raw["received_at"], before=raw["before"])
    return b"\n".join([json.dumps(entry.plain()).encode(), *lines[1:]]) + b"\n"


def _swapped(old: bytes, new: bytes) -> Callable[[bytes], bytes]:
    return lambda content: content.replace(old, new)


ENTRIES, LABEL = "entries.jsonl", "archive.json"
BROKEN: dict[str, tuple[str, Callable[[bytes], bytes], str, int | None]] = {
    "a value changed": (ENTRIES, _swapped(b'"850"', b'"950"'), "chain_broken", 2),
    "an entry forged": (ENTRIES, _forged, "chain_broken", 2),
    "one taken out": (ENTRIES, _lines(lambda rows: rows[:2] + rows[3:]), "chain_broken", 3),
    "two swapped": (
        ENTRIES, _lines(lambda rows: [rows[1], rows[0], *rows[2:]]), "chain_broken", 1,
    ),
    "one doubled": (ENTRIES, _lines(lambda rows: [rows[0], *rows]), "chain_broken", 2),
    "cut short": (ENTRIES, _lines(lambda rows: rows[:-1]), "chain_short", 6),
    "cut in a line": (ENTRIES, lambda content: content[:-40], "archive_entry", None),
    "empty": (ENTRIES, lambda _: b"", "chain_short", 0),
    "no entry": (ENTRIES, _lines(lambda rows: [b"[]\n", *rows]), "archive_entry", None),
    "a new kind": (ENTRIES, _swapped(b'"photo"', b'"movie"'), "fact_unknown_kind", None),
    "another photo": (f"photos/{SHA}.png", lambda content: content + b"x", "photo_differs", None),
    "another job": (LABEL, _swapped(b"00000000000a", b"00000000000b"), "chain_broken", 1),
    "a later format": (LABEL, _swapped(b'"version":1', b'"version":2'), "archive_version", None),
    "else": (LABEL, _swapped(b"lapwright archive", b"else"), "archive_unreadable", None),
    "no label": (LABEL, lambda _: b"{", "archive_unreadable", None),
}  # fmt: skip


@pytest.mark.parametrize("how", BROKEN)
def test_a_broken_archive_is_refused_whole(store: Store, job: str, how: str, second: Store) -> None:
    """Whatever was changed, the first bad place is named and not one fact is kept."""
    name, change, code, place = BROKEN[how]
    archive = written(store, job)
    broken = changed(archive, name, change)
    for into in (None, second):
        with pytest.raises(LapwrightError) as caught:
            read(broken, into)
        assert (caught.value.code, caught.value.data.get("at")) == (code, place)
    assert second.ledger.jobs() == []
    assert read(changed(archive, name, lambda same: same), second)


@pytest.mark.parametrize("content", [b"", b"PK", b"plain text", PNG])
def test_what_is_no_archive_is_refused(content: bytes) -> None:
    """Another file, or an empty one, is told by its name."""
    with pytest.raises(LapwrightError, match="archive_unreadable") as caught:
        read(content)
    assert caught.value.data["file"] == "roof.zip"


def test_damage_on_disk_is_told(store: Store, job: str) -> None:
    """Any one byte of the entries turned over is refused, wherever the zip notices it."""
    archive = written(store, job)
    with zipfile.ZipFile(io.BytesIO(archive)) as zipped:
        part = zipped.getinfo("entries.jsonl")
    name, extra = struct.unpack_from("<HH", archive, part.header_offset + 26)  # their lengths
    start, size = part.header_offset + 30 + name + extra, part.compress_size
    for offset in range(start, start + size - 1, size // 40):
        damaged = bytearray(archive)
        damaged[offset] ^= 0x10
        with pytest.raises(LapwrightError):
            read(bytes(damaged))


# --- in 20 years ------------------------------------------------------------------------------


def test_the_readme_verifies_without_us(store: Store, job: str, tmp_path: Path) -> None:
    """The lines of Python in the archive's own readme find the chain whole, and a change in it."""
    with zipfile.ZipFile(io.BytesIO(written(store, job))) as zipped:
        zipped.extractall(tmp_path)
    readme = (tmp_path / "README.txt").read_text(encoding="utf-8")
    code = readme.split("unpacked folder:")[1].split("The hashes show")[0]
    run = [sys.executable, "-I", "-c", textwrap.dedent(code)]
    done = subprocess.run(run, cwd=tmp_path, capture_output=True, text=True, check=True)
    assert store.ledger.head(job).hash in done.stdout
    entries = tmp_path / "entries.jsonl"
    whole = entries.read_bytes()
    for broken in (whole.replace(b'"850"', b'"950"'), b"".join(whole.splitlines(True)[1:])):
        entries.write_bytes(broken)
        assert subprocess.run(run, cwd=tmp_path, capture_output=True, check=False).returncode


def test_the_tables_say_what_the_facts_say(store: Store, job: str) -> None:
    """Each kind has its table: as typed, in SI, and whether it was corrected or taken back."""
    with zipfile.ZipFile(io.BytesIO(written(store, job))) as zipped:
        tables = {
            name: list(csv.DictReader(io.StringIO(zipped.read(name).decode("utf-8"))))
            for name in zipped.namelist()
            if name.startswith("facts/")
        }
    assert sorted(tables) == [
        f"facts/{kind}.csv" for kind in ("correction", "job", "person", "photo", "test_weld")
    ]
    (weld,) = tables["facts/test_weld.csv"]
    assert [weld[f"air{end}"] for end in ("", "_unit", "_how")] == ["850", "f", "set"]
    assert float(weld["air_si"]) == pytest.approx((850 + 459.67) / 1.8)  # Fahrenheit to kelvin
    assert float(weld["speed_si"]) == pytest.approx(3.05 / 60)
    assert (weld["number"], weld["corrected"], weld["withdrawn"]) == ("1", "number", "")
    assert (weld["seq"], weld["received_at"], weld["power_setup"]) == ("2", NOW, "")
    assert weld["note"] == "'=2+2"  # no spreadsheet computes it
    assert [row["withdrawn"] for row in tables["facts/photo.csv"]] == ["true", ""]
    (person,) = tables["facts/person.csv"]
    assert (person["name"], person["tasks"]) == ("'-Ana", "probe sign")


@pytest.mark.parametrize("kind", KINDS)
def test_no_table_has_a_column_twice(kind: str) -> None:
    """Columns of a table have names of their own, whatever fields a kind has."""
    names = columns(KINDS[kind])
    assert len(set(names)) == len(names)
