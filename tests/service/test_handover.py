"""The paper of a job: made from the record, carrying it, and telling when anything was altered."""

from __future__ import annotations

import hashlib
import io
import os
import random
import subprocess
import sys
from dataclasses import replace
from datetime import UTC, datetime
from importlib.resources import files
from pathlib import Path

import pikepdf
import pytest
from asn1crypto import cms
from click.testing import CliRunner
from cryptography import x509
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.hashes import SHA256
from PIL import Image
from tests import cast

from lapwright.cli import main
from lapwright.errors import LapwrightError
from lapwright.handover.keys import Key, new_key
from lapwright.handover.making import made_now, make_paper
from lapwright.handover.proving import prove_paper
from lapwright.handover.signing import signed
from lapwright.record.attached import RECORD
from lapwright.record.chain import NOTHING, Entry, seal
from lapwright.report.figures import Reader
from lapwright.store import open_store
from lapwright.store.archive import read_archive

WEEK = files("lapwright").joinpath("examples", "week.zip")
DAY = "2026-05-06"
NOW = datetime(2026, 6, 1, tzinfo=UTC)
FLIPS = int(os.environ.get("FLIPS", "20"))  # of each kind; set it to look harder


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> str:
    """A store with the invented week."""
    place = str(tmp_path_factory.mktemp("handover") / "week.db")
    store = open_store(place)
    with WEEK.open("rb") as archive:
        read_archive(archive, name="week", store=store)  # type: ignore[arg-type]
    store.close()
    return place


@pytest.fixture(scope="module")
def entries(place: str) -> list[Entry]:
    """The chain of the week."""
    store = open_store(place)
    found = list(store.ledger.since(max(store.ledger.jobs(), key=len)))
    store.close()
    return found


def sheet(entries: list[Entry], reader: Reader | None = None) -> bytes:
    """Sheet of one day, without photos."""
    made = made_now(entries, reader or Reader(), day=DAY)
    return make_paper(entries, made, photos={}.get).content


@pytest.fixture(scope="module")
def plain(entries: list[Entry]) -> bytes:
    """The sheet, not signed."""
    return sheet(entries)


@pytest.fixture(scope="module")
def key() -> Key:
    """A key of somebody invented."""
    return new_key("Invented foreman", now=NOW)[1]


@pytest.fixture(scope="module")
def sealed(plain: bytes, key: Key) -> bytes:
    """The sheet, signed."""
    return signed(plain, key=key, about="Signature")


def refusal(content: bytes) -> str:
    """Code of why a paper is refused; empty where nothing is found."""
    try:
        prove_paper(content, name="paper")
    except LapwrightError as error:
        return error.code
    return ""


def test_the_paper_carries_the_whole_record(plain: bytes, entries: list[Entry]) -> None:
    """An outside reader finds the record in the PDF, marked as its source, entry by entry."""
    with pikepdf.open(io.BytesIO(plain)) as pdf:
        assert set(pdf.attachments) == {RECORD, "paper.json"}
        content = pdf.attachments[RECORD].get_file().read_bytes()
        assert {str(one["/AFRelationship"]) for one in pdf.Root["/AF"]} == {"/Source"}
    assert content.count(b'"received_at"') == len(entries)
    assert entries[-1].hash.encode() in content


def test_the_same_record_gives_the_same_bytes_in_another_process(place: str, plain: bytes) -> None:
    """Whatever the seed of Python's hashes."""
    program = (
        "import sys\n"
        "from lapwright.handover.making import make_paper, made_now\n"
        "from lapwright.report.figures import Reader\n"
        "from lapwright.store import open_store\n"
        "store = open_store(sys.argv[1])\n"
        "entries = list(store.ledger.since(max(store.ledger.jobs(), key=len)))\n"
        f"made = made_now(entries, Reader(), day='{DAY}')\n"
        "sys.stdout.buffer.write(make_paper(entries, made, photos={}.get).content)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, place],
        capture_output=True, check=True, env={"PYTHONHASHSEED": "77", "PATH": ""},
    )  # fmt: skip
    assert hashlib.sha256(done.stdout).digest() == hashlib.sha256(plain).digest()


@pytest.mark.parametrize("reader", [Reader(), Reader("es", "metric")])
def test_a_whole_paper_is_proved(entries: list[Entry], reader: Reader) -> None:
    """Chain whole, signers' heads in it, pages the same; nobody signed the file."""
    proved = prove_paper(sheet(entries, reader), name="paper")
    assert proved.is_compared
    assert (proved.checked.head.seq, proved.checked.head.hash) == (len(entries), entries[-1].hash)
    assert proved.checked.sign_offs > 0
    assert not proved.checked.unmatched
    assert proved.sealed is None


def test_the_signature_fits_by_the_standard_s_own_terms(sealed: bytes, key: Key) -> None:
    """By hand, after ETSI EN 319 142-1 and RFC 5652: the digest of the byte range and the key."""
    with pikepdf.open(io.BytesIO(sealed)) as pdf:
        (field,) = pdf.Root["/AcroForm"]["/Fields"]
        value = field["/V"]
        first, one, two, rest = (int(each) for each in value["/ByteRange"])
        assert str(value["/SubFilter"]) == "/ETSI.CAdES.detached"
        found = cms.ContentInfo.load(bytes(value["/Contents"]))["content"]
    assert (first, two + rest) == (0, len(sealed))
    covered = sealed[:one] + sealed[two:]
    (signer,) = found["signer_infos"]
    told = {each["type"].native: each["values"][0].native for each in signer["signed_attrs"]}
    assert told["message_digest"] == hashlib.sha256(covered).digest()
    public = x509.load_der_x509_certificate(key.certificate).public_key()
    assert isinstance(public, ec.EllipticCurvePublicKey)
    public.verify(
        signer["signature"].native, signer["signed_attrs"].untag().dump(), ec.ECDSA(SHA256())
    )


def test_a_signed_paper_is_proved_with_its_key(sealed: bytes, plain: bytes, key: Key) -> None:
    """Self-made unless its certificate is trusted; another's vouches for nothing."""
    assert sealed.startswith(plain)
    alone = prove_paper(sealed, name="paper").sealed
    trusted = prove_paper(sealed, name="paper", trusted=[key.certificate]).sealed
    other = new_key("Somebody else", now=NOW)[1]
    doubted = prove_paper(sealed, name="paper", trusted=[other.certificate]).sealed
    assert alone is not None
    assert (alone.holder, alone.is_self_made, alone.is_vouched) == ("Invented foreman", True, False)
    assert trusted is not None
    assert trusted.is_vouched
    assert doubted is not None
    assert not doubted.is_vouched


@pytest.mark.parametrize("is_signed", [False, True])
def test_no_bit_can_be_turned_unseen(plain: bytes, sealed: bytes, *, is_signed: bool) -> None:
    """One bit in each of many places: the altered copy is refused every time."""
    whole = sealed if is_signed else plain
    chance = random.Random(6)
    for _ in range(FLIPS):
        altered = bytearray(whole)
        altered[chance.randrange(len(whole))] ^= 1 << chance.randrange(8)
        if altered.rstrip() != whole.rstrip():
            assert refusal(bytes(altered))


def test_another_record_under_the_same_pages_is_refused(plain: bytes, entries: list[Entry]) -> None:
    """A valid, shorter chain put in with a common tool: the pages do not come from it."""
    shorter = make_paper(
        entries[:-1], made_now(entries[:-1], Reader(), day=DAY), photos={}.get
    ).content
    with pikepdf.open(io.BytesIO(shorter)) as pdf:
        record = pdf.attachments[RECORD].get_file().read_bytes()
    with pikepdf.open(io.BytesIO(plain)) as pdf:
        pdf.attachments[RECORD] = pikepdf.AttachedFileSpec(pdf, record, filename=RECORD)
        swapped = io.BytesIO()
        pdf.save(swapped)
    assert refusal(swapped.getvalue()) == "paper_pages"


CHANGES = {
    "short": (lambda paper: paper[:-2000], "paper_damaged"),
    "longer": (lambda paper: paper + b"more", "paper_damaged"),
    "appended": (lambda paper: paper + b"\n%%EOF", "paper_damaged"),
    "none": (lambda _: b"%PDF-1.7\n%%EOF", "paper_damaged"),
}


@pytest.mark.parametrize("change", CHANGES)
def test_a_file_not_as_it_was_made_is_refused(plain: bytes, change: str) -> None:
    """Cut short, lengthened, or no paper at all."""
    alter, code = CHANGES[change]
    assert refusal(alter(plain)) == code


def test_a_pdf_of_somebody_else_carries_nothing() -> None:
    """It is refused for what it lacks."""
    pdf, content = pikepdf.new(), io.BytesIO()
    pdf.add_blank_page()
    pdf.save(content)
    assert refusal(content.getvalue()) == "paper_lacks"


def test_photos_stand_on_the_page_and_are_proved_too(entries: list[Entry]) -> None:
    """A photo of a strip is printed small; the paper is proved without the kept file."""
    picture = io.BytesIO()
    Image.effect_noise((1600, 1200), 60).convert("RGB").save(picture, "JPEG")
    content = picture.getvalue()
    name = hashlib.sha256(content).hexdigest()
    strip = next(entry.fact for entry in entries if entry.fact.kind == "strip")
    photo = cast.fact("photo", at="09:00", day=DAY, file=name, of=strip)
    missing = cast.fact("photo", at="09:01", day=DAY, file="ab" * 32, of=strip)
    chain, before = [], NOTHING
    for seq, fact in enumerate([*(entry.fact for entry in entries), photo, missing], start=1):
        fact = replace(fact, job=entries[0].fact.job)
        chain.append(seal(fact, seq=seq, received_at=entries[0].received_at, before=before))
        before = chain[-1].hash
    paper = make_paper(chain, made_now(chain, Reader()), photos={name: content}.get).content
    with pikepdf.open(io.BytesIO(paper)) as pdf:
        streams = [each for each in pdf.objects if isinstance(each, pikepdf.Stream)]
        widths = [int(one["/Width"]) for one in streams if one.get("/Subtype") == "/Image"]
    assert 1000 in widths
    assert prove_paper(paper, name="paper").is_compared


def test_the_command_writes_signs_and_verifies(place: str, tmp_path: Path) -> None:
    """A key, a signed sheet, its proof in Spanish; a file that is there is not written over."""
    runner, pdf, pem = CliRunner(), str(tmp_path / "a.pdf"), str(tmp_path / "k.pem")
    assert runner.invoke(main, ["key", pem, "--name", "Invented foreman"]).exit_code == 0
    assert Path(pem).stat().st_mode & 0o077 == 0
    write = ["closeout", "--store", place, "--day", DAY, "--out", pdf, "--key", pem]
    assert runner.invoke(main, write).exit_code == 0
    assert runner.invoke(main, write).exit_code == 2
    assert runner.invoke(main, [*write, "--replace"]).exit_code == 0
    proof = runner.invoke(main, ["verify", pdf, "--lang", "es"])
    assert proof.exit_code == 0
    assert 'Firmado con la clave de "Invented foreman"' in proof.output
    assert "iguales hasta el último bit" in proof.output
    Path(pdf).write_bytes(Path(pdf).read_bytes().replace(b"/Subtype", b"/Subtypf", 1))
    assert runner.invoke(main, ["verify", pdf]).exit_code == 2


def test_a_day_without_facts_has_no_sheet(place: str, tmp_path: Path) -> None:
    """It is refused with the days there are, and nothing is written."""
    pdf = tmp_path / "a.pdf"
    told = CliRunner().invoke(
        main, ["closeout", "--store", place, "--day", "2031-01-01", "--out", str(pdf)]
    )
    assert told.exit_code == 2
    assert DAY in told.output
    assert not pdf.exists()
