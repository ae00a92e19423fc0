"""Keys to sign with: made, locked, read from each kind of file, and refused by what is wrong."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from functools import cache
from typing import Any

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec, ed25519, rsa
from cryptography.hazmat.primitives.serialization import (
    BestAvailableEncryption,
    Encoding,
    NoEncryption,
    PrivateFormat,
    pkcs12,
)

from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.handover.keys import YEARS, check_term, fingerprint, is_locked, new_key, read_key

NOW = datetime(2026, 6, 1, 12, tzinfo=UTC)


def certificate(
    private: Any, *, name: str = "Invented", by: Any = None, issuer: str = ""
) -> x509.Certificate:
    """A certificate of a key, by itself or by another."""
    subject, above = (
        x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, one)])
        for one in (name, issuer or name)
    )
    made = x509.CertificateBuilder().subject_name(subject).issuer_name(above)
    made = made.public_key(private.public_key()).serial_number(7)
    made = made.not_valid_before(NOW).not_valid_after(NOW + timedelta(days=9))
    signer = by or private
    return made.sign(
        signer, None if isinstance(signer, ed25519.Ed25519PrivateKey) else hashes.SHA256()
    )


def pem(private: Any, *certificates: x509.Certificate) -> bytes:
    """Key and certificates in one file."""
    key = private.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    return bytes(key + b"".join(one.public_bytes(Encoding.PEM) for one in certificates))


@cache
def curve() -> ec.EllipticCurvePrivateKey:
    """A key on the curve of our own."""
    return ec.generate_private_key(ec.SECP256R1())


def refused(content: bytes, passphrase: str | None = None) -> str:
    """Code of the refusal."""
    with pytest.raises(FileUnreadable) as error:
        read_key(content, name="k", passphrase=passphrase)
    assert error.value.data["file"] == "k"
    return error.value.code


def test_a_new_key_bears_its_holder_and_its_term() -> None:
    """A self-made certificate by RFC 5280: the name, twenty years, for signing and nothing else."""
    content, key = new_key("  Invented foreman ", now=NOW)
    own = x509.load_der_x509_certificate(key.certificate)
    (name,) = own.subject.get_attributes_for_oid(x509.NameOID.COMMON_NAME)
    assert name.value == "Invented foreman"
    assert own.not_valid_before_utc == NOW
    assert own.not_valid_after_utc - NOW == timedelta(days=365 * YEARS)
    uses = own.extensions.get_extension_for_class(x509.KeyUsage).value
    assert (uses.digital_signature, uses.content_commitment, uses.key_cert_sign) == (
        True,
        True,
        False,
    )
    own.verify_directly_issued_by(own)
    assert read_key(content, name="k") == key
    assert not is_locked(content)


def test_two_new_keys_are_two() -> None:
    """Nobody signs as somebody else by the same name."""
    assert new_key("A", now=NOW)[1].private != new_key("A", now=NOW)[1].private


def test_a_locked_key_opens_with_its_passphrase_alone() -> None:
    """Neither without one nor with another."""
    content, key = new_key("A", now=NOW, passphrase="open")
    assert is_locked(content)
    assert read_key(content, name="k", passphrase="open") == key
    assert refused(content) == refused(content, "other") == "key_passphrase"


@pytest.mark.parametrize("holder", ["", "   ", "x" * 65, "a\nb", "a\x00"])
def test_a_name_that_no_certificate_bears_is_refused(holder: str) -> None:
    """RFC 5280, appendix A.1: at most 64 characters; none that cannot be printed."""
    with pytest.raises(LapwrightError, match="key_name"):
        new_key(holder, now=NOW)


@pytest.mark.parametrize(
    "make",
    [curve, ed25519.Ed25519PrivateKey.generate, lambda: rsa.generate_private_key(65537, 2048)],
)
def test_keys_of_three_kinds_are_read(make: Callable[[], Any]) -> None:
    """As an authority hands them out, in both kinds of file."""
    private = make()
    own = certificate(private)
    locked = pkcs12.serialize_key_and_certificates(
        b"k", private, own, None, BestAvailableEncryption(b"p")
    )
    assert read_key(pem(private, own), name="k") == read_key(locked, name="k", passphrase="p")
    assert is_locked(locked)
    assert refused(locked, "q") == "key_passphrase"


def test_a_key_too_weak_is_refused() -> None:
    """NIST SP 800-131A: RSA below 2048 bits, and curves that nobody signs with."""
    for private in (rsa.generate_private_key(65537, 1024), ec.generate_private_key(ec.SECP192R1())):
        assert refused(pem(private, certificate(private))) == "key_kind"


def test_a_file_that_lacks_something_says_what() -> None:
    """No key at all, no certificate, somebody else's certificate, half a file."""
    other = ec.generate_private_key(ec.SECP256R1())
    assert refused(b"nothing") == refused(b"") == refused(b"\x30\x82nonsense") == "key_unreadable"
    assert refused(pem(curve())) == "key_no_certificate"
    assert refused(pem(curve(), certificate(other))) == "key_no_certificate"
    assert refused(pem(curve(), certificate(curve()))[:180]) == "key_unreadable"


def test_who_vouches_is_kept_up_to_who_stands_for_itself() -> None:
    """In order, whatever the order in the file; a chain with a gap is left out whole."""
    root = ec.generate_private_key(ec.SECP256R1())
    above = certificate(root, name="Root")
    own = certificate(curve(), name="Own", by=root, issuer="Root")
    stranger = certificate(ec.generate_private_key(ec.SECP256R1()), name="X")
    key = read_key(pem(curve(), stranger, above, own), name="k")
    assert key.certificate == own.public_bytes(Encoding.DER)
    assert key.chain == (above.public_bytes(Encoding.DER),)
    assert read_key(pem(curve(), stranger, own), name="k").chain == ()


@pytest.mark.parametrize(
    ("days", "code"),
    [(-1, "key_too_early"), (0, ""), (365 * YEARS, ""), (365 * YEARS + 1, "key_expired")],
)
def test_a_key_is_used_in_its_term_alone(days: int, code: str) -> None:
    """From its first to its last moment."""
    key, now = new_key("A", now=NOW)[1], NOW + timedelta(days=days)
    if not code:
        check_term(key, now=now, name="k")
        return
    with pytest.raises(FileUnreadable, match=code):
        check_term(key, now=now, name="k")


def test_the_fingerprint_is_the_sha256_in_pairs() -> None:
    """As other programs print it, so that it can be compared by eye."""
    content = new_key("A", now=NOW)[1].certificate
    assert fingerprint(content).replace(":", "").lower() == hashlib.sha256(content).hexdigest()
    assert fingerprint(content)[2::3] == ":" * 31
