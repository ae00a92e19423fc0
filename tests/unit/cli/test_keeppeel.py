"""``lapwright peel --of``: pulls of a force gauge beside the strips they were."""

from __future__ import annotations

import hashlib
import io
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from tests import cast

from lapwright.cli import main
from lapwright.record.fact import si
from lapwright.record.replay import Record
from lapwright.store import Store, open_store
from lapwright.store.archive import read_archive, write_archive

CUT = cast.fact("cut", at="09:00", number="C-1", seam="A-S001", station="60 ft", length="1 ft")
STRIPS = [
    cast.fact("strip", at=f"09:1{number}", of=CUT, number=number, pull="full")
    for number in ("1", "2")
]
AGAIN = cast.fact("strip", at="09:30", of=CUT, number="1", pull="partial", second_look=True)
TABLE = "Strip,Extension (mm),Force (N)\n" + "".join(
    f"{name},{k},{min(60 * k, 180)}\n" for name in ("2", "1") for k in range(40)
)


@pytest.fixture
def place(tmp_path: Path) -> str:
    """A store with a cut of two strips, one of them looked at twice."""
    place = str(tmp_path / "job.db")
    store = open_store(place)
    facts = [*cast.SETUP, CUT, *STRIPS, AGAIN]
    store.ledger.append(cast.JOB, facts, received_at="2026-05-05T00:00:00+00:00")
    store.close()
    return place


def kept(place: str, table: str, *more: str) -> Result:
    """What the command says of a table beside the store."""
    file = Path(place).with_name("gauge.csv")
    file.write_text(table, encoding="utf-8")
    return CliRunner().invoke(main, ["peel", str(file), "--store", place, "--of", "C-1", *more])


def record_of(store: Store) -> Record:
    """The record as it holds."""
    return Record(entry.fact for entry in store.ledger.since(cast.JOB))


def test_each_pull_stands_beside_its_strip_and_its_file(place: str) -> None:
    """By the strip's number, not by the order in the file; the file goes into the archive."""
    result = kept(place, TABLE, "--rate-mm-min", "250", "--instrument", "gauge 2")
    assert result.exit_code == 0, result.output
    assert "2 new" in result.output
    store = open_store(place)
    pulls = record_of(store).all("peel_trace")
    assert {pull["strip"] for pull in pulls} == {strip.id for strip in STRIPS}
    assert {pull["instrument"] for pull in pulls} == {"gauge 2"}
    assert si(pulls[0]["rate"]) == pytest.approx(0.25 / 60)
    assert si(pulls[0]["width"]) == pytest.approx(0.0254)
    assert pulls[0]["file"] == hashlib.sha256(TABLE.encode()).hexdigest()
    archive = io.BytesIO()
    write_archive(store, job=cast.JOB, file=archive)
    store.close()
    other = open_store(str(Path(place).with_name("other.db")))
    read_archive(archive, name="archive", store=other)
    assert other.photos.get(pulls[0]["file"]) == TABLE.encode()
    other.close()


def test_the_same_file_again_adds_nothing(place: str) -> None:
    """Sent twice is kept once."""
    kept(place, TABLE, "--rate-mm-min", "250")
    assert "0 new" in kept(place, TABLE, "--rate-mm-min", "250").output


@pytest.mark.parametrize(
    ("table", "more", "says"),
    [
        (TABLE, (), "How fast the jaws moved for pull 2"),
        (TABLE.replace("\n2,", "\n7,"), ("--rate-in-min", "10"), "Pull 7 of the file is no strip"),
        (TABLE, ("--rate-in-min", "10", "--of", "C-9"), "no strips of a cut or test weld C-9"),
    ],
)
def test_nothing_is_kept_half(place: str, table: str, more: tuple[str, ...], says: str) -> None:
    """Unknown speed, strip or cut: said in words, and no pull of the file is kept."""
    result = kept(place, table, *more)
    assert result.exit_code == 2
    assert says in " ".join(result.output.split())
    store = open_store(place)
    assert not record_of(store).all("peel_trace")
    assert not list(store.photos)
    store.close()
