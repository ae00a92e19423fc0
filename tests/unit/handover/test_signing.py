"""A signature under a paper: nothing before it changes, and there is one at most."""

from __future__ import annotations

import io
import re
from datetime import UTC, datetime

import pikepdf
import pytest

from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.handover.keys import new_key
from lapwright.handover.signing import FIELD, signed
from lapwright.readings.paper import read_paper
from lapwright.readings.signature import read_certificates, read_signature
from lapwright.report.paper.blocks import Document, Section, Words
from lapwright.report.paper.paper import pdf_of

NOW = datetime(2026, 6, 1, tzinfo=UTC)
DOCUMENT = Document(
    "T", (), "r", "en", "2026-05-08T13:38:00-05:00", (Section("S", (Words("Said."),)),)
)
PEM, KEY = new_key("Invented foreman", now=NOW)


@pytest.fixture(scope="module")
def plain() -> bytes:
    """A page, not signed."""
    return pdf_of(DOCUMENT, photos={})


@pytest.fixture(scope="module")
def sealed(plain: bytes) -> bytes:
    """The page, signed."""
    return signed(plain, key=KEY, about="Signature")


def test_the_paper_stays_to_its_last_byte(plain: bytes, sealed: bytes) -> None:
    """The signature stands behind it; title, dates and PDF version are the paper's own."""
    assert sealed.startswith(plain)
    with pikepdf.open(io.BytesIO(plain)) as one, pikepdf.open(io.BytesIO(sealed)) as other:
        assert other.pdf_version == one.pdf_version == "1.7"
        assert str(other.docinfo) == str(one.docinfo)
        assert len(other.pages) == len(one.pages)


def test_what_is_added_begins_on_its_own_line(plain: bytes, sealed: bytes) -> None:
    """ISO 19005-3, 6.1.9: a line ends before each object's number and before each endobj."""
    added = sealed[len(plain) - 1 :]
    objects = re.findall(rb"(.)\d+ 0 obj(.)", added, re.DOTALL)
    assert len(objects) >= 4
    assert set(objects) == {(b"\n", b"\n")}
    assert set(re.findall(rb"(.)endobj(.)", added, re.DOTALL)) == {(b"\n", b"\n")}


def test_the_field_has_a_name_and_no_size(sealed: bytes) -> None:
    """It covers no word of the page (ISO 32000-1, 12.7.4.5: a signature nobody sees)."""
    with pikepdf.open(io.BytesIO(sealed)) as pdf:
        (field,) = pdf.Root["/AcroForm"]["/Fields"]
        assert (str(field["/T"]), str(field["/TU"])) == (FIELD, "Signature")
        left, low, right, high = (float(each) for each in field["/Rect"])
        assert (left, low) == (right, high)


def test_nobody_signs_twice(sealed: bytes) -> None:
    """A second one could lay something over what the first had signed."""
    with pytest.raises(LapwrightError, match="paper_signed"):
        signed(sealed, key=KEY, about="Signature")


def test_who_signed_is_read_back(sealed: bytes, plain: bytes) -> None:
    """Name and certificate; nobody of what nobody signed."""
    found = read_signature(read_paper(sealed, name="p"), name="p")
    assert found is not None
    assert (found.holder, found.certificate) == ("Invented foreman", KEY.certificate)
    assert read_signature(read_paper(plain, name="p"), name="p") is None


def test_a_paper_is_read_in_its_revisions(plain: bytes, sealed: bytes) -> None:
    """Where the first ends is where the pages as made end."""
    once, twice = read_paper(plain, name="p"), read_paper(sealed, name="p")
    assert (once.revisions, twice.revisions) == (1, 2)
    assert plain[: once.first].rstrip() == plain.rstrip()
    assert twice.first == once.first


def test_files_within_are_read_by_name(plain: bytes) -> None:
    """Also those that another program put there."""
    assert read_paper(plain, name="p").attached == {}
    with pikepdf.open(io.BytesIO(plain)) as pdf:
        for number in range(70):
            name = f"a-{number:02}"
            pdf.attachments[name] = pikepdf.AttachedFileSpec(pdf, name.encode(), filename=name)
        out = io.BytesIO()
        pdf.save(out)
    found = read_paper(out.getvalue(), name="p").attached
    assert found == {f"a-{number:02}": f"a-{number:02}".encode() for number in range(70)}


@pytest.mark.parametrize(
    "content", [b"", b"%PDF-1.7", b"nothing", b"%PDF-1.7\n%%EOF", b"%PDF-1.7\nxref\n%%EOF"]
)
def test_what_is_no_whole_pdf_is_refused(content: bytes) -> None:
    """In one word, whatever the reader meets within."""
    with pytest.raises(FileUnreadable, match="paper_damaged") as refused:
        read_paper(content, name="p")
    assert refused.value.data["file"] == "p"


def test_certificates_are_read_from_pem_and_der() -> None:
    """The key in the same file is not looked at; nonsense is refused."""
    assert read_certificates(PEM, name="t") == (KEY.certificate,)
    assert read_certificates(KEY.certificate, name="t") == (KEY.certificate,)
    for bad in (b"", b"text", PEM.split(b"-----BEGIN CERT", maxsplit=1)[0]):
        with pytest.raises(FileUnreadable, match="trust_unreadable"):
            read_certificates(bad, name="t")
