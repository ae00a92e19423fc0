"""Keys to sign a paper with: read one from a file, or make one.

A key that somebody made here says nothing about who holds it: its certificate carries whatever
name was typed. Only a fingerprint that was noted in the contract papers beforehand, or an
authority that vouches for the certificate, ties it to a person.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.readings.signature import vouches

if TYPE_CHECKING:
    from cryptography import x509
    from cryptography.hazmat.primitives.asymmetric.types import PrivateKeyTypes

YEARS = 20  # that a key made here says it may be used
_SMALLEST_RSA = 2048  # bits; NIST SP 800-131A rev. 2, table 2
_PKCS12 = b"\x30"  # first byte of the DER that a .p12 or .pfx file is
_LONGEST_NAME = 64  # characters of a common name, RFC 5280, appendix A.1 (ub-common-name)


@dataclass(frozen=True)
class Key:
    """A private key with its certificate.

    Parameters
    ----------
    private : bytes
        PKCS#8, DER, not encrypted: it never leaves the memory.
    certificate : bytes
        Of the key. X.509, DER.
    chain : tuple of bytes
        Certificates of those who vouch for it, each by the next, up to one that stands for
        itself; empty when the file did not hold all of them.
    """

    private: bytes
    certificate: bytes
    chain: tuple[bytes, ...] = ()


def fingerprint(certificate: bytes) -> str:
    """SHA-256 of a certificate, in pairs as on paper.

    Examples
    --------
    >>> fingerprint(b"")[:11]
    'E3:B0:C4:42'
    """
    import hashlib

    return hashlib.sha256(certificate).digest().hex(":").upper()


def is_locked(content: bytes) -> bool:
    """Whether a passphrase is needed; a PKCS#12 file always has one, if only an empty one."""
    return content.startswith(_PKCS12) or b"ENCRYPTED" in content


def read_key(content: bytes, *, name: str, passphrase: str | None = None) -> Key:
    """The key in a PEM or PKCS#12 file, with its certificate.

    Parameters
    ----------
    content : bytes
        Of the file.
    name : str
        What the person calls it.
    passphrase : str, optional
        Asked from the person where :func:`is_locked`.

    Raises
    ------
    FileUnreadable
        ``key_passphrase``, ``key_unreadable``, ``key_no_certificate``, ``key_kind``.
    """
    from cryptography.hazmat.primitives.serialization import (
        Encoding,
        NoEncryption,
        PrivateFormat,
    )

    read = _read_pkcs12 if content.startswith(_PKCS12) else _read_pem
    secret = passphrase.encode() if passphrase else None
    private, certificates = read(content, secret, name)
    public = private.public_key()
    own = next((one for one in certificates if one.public_key() == public), None)
    if own is None:
        raise FileUnreadable("key_no_certificate", file=name)
    _check_kind(private, name=name)
    chain = _chain(own, [one for one in certificates if one != own])
    return Key(
        private.private_bytes(Encoding.DER, PrivateFormat.PKCS8, NoEncryption()),
        own.public_bytes(Encoding.DER),
        tuple(one.public_bytes(Encoding.DER) for one in chain),
    )


def check_term(key: Key, *, now: datetime, name: str) -> None:
    """Refuse a certificate that is not valid today.

    Raises
    ------
    FileUnreadable
        ``key_expired``, ``key_too_early``.
    """
    from cryptography import x509

    own = x509.load_der_x509_certificate(key.certificate)
    if now > own.not_valid_after_utc:
        raise FileUnreadable("key_expired", file=name, value=str(own.not_valid_after_utc.date()))
    if now < own.not_valid_before_utc:
        day = str(own.not_valid_before_utc.date())
        raise FileUnreadable("key_too_early", file=name, value=day)


def new_key(holder: str, *, now: datetime, passphrase: str | None = None) -> tuple[bytes, Key]:
    """A new key with a certificate by itself: the PEM file, and what it holds.

    Parameters
    ----------
    holder : str
        Name that the certificate bears.
    now : datetime
        From when it is valid, for :data:`YEARS`. Aware.
    passphrase : str, optional
        Locks the private part.

    Raises
    ------
    LapwrightError
        ``key_name``.
    """
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes, serialization
    from cryptography.hazmat.primitives.asymmetric import ec

    holder = holder.strip()
    if not 0 < len(holder) <= _LONGEST_NAME or not holder.isprintable():
        raise LapwrightError("key_name", limit=_LONGEST_NAME)
    # NIST P-256 and not Ed25519: readers of 2026 know it, and so does PDF 1.7.
    private = ec.generate_private_key(ec.SECP256R1())
    named = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, holder)])
    begins = now.astimezone(UTC).replace(microsecond=0)
    use = dict.fromkeys(_USES, False) | {"digital_signature": True, "content_commitment": True}
    certificate = (
        x509.CertificateBuilder()
        .subject_name(named)
        .issuer_name(named)
        .public_key(private.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(begins)
        .not_valid_after(begins + timedelta(days=365 * YEARS))
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.KeyUsage(**use), critical=True)
        .add_extension(
            x509.SubjectKeyIdentifier.from_public_key(private.public_key()), critical=False
        )
        .sign(private, hashes.SHA256())
    )
    lock: serialization.KeySerializationEncryption = serialization.NoEncryption()
    if passphrase:
        lock = serialization.BestAvailableEncryption(passphrase.encode())
    form = serialization.PrivateFormat.PKCS8
    pem = private.private_bytes(serialization.Encoding.PEM, form, lock)
    pem += certificate.public_bytes(serialization.Encoding.PEM)
    return pem, read_key(pem, name=holder, passphrase=passphrase)


_USES = (
    "digital_signature", "content_commitment", "key_encipherment", "data_encipherment",
    "key_agreement", "key_cert_sign", "crl_sign", "encipher_only", "decipher_only",
)  # fmt: skip


def _read_pkcs12(
    content: bytes, secret: bytes | None, name: str
) -> tuple[PrivateKeyTypes, list[x509.Certificate]]:
    from cryptography.hazmat.primitives.serialization import pkcs12

    try:
        private, own, others = pkcs12.load_key_and_certificates(content, secret)
    except ValueError as error:
        is_secret = "password" in str(error).lower()
        raise FileUnreadable(
            "key_passphrase" if is_secret else "key_unreadable", file=name
        ) from None
    if private is None:
        raise FileUnreadable("key_unreadable", file=name)
    return private, [*([own] if own else []), *others]


def _read_pem(
    content: bytes, secret: bytes | None, name: str
) -> tuple[PrivateKeyTypes, list[x509.Certificate]]:
    from cryptography import x509
    from cryptography.exceptions import UnsupportedAlgorithm
    from cryptography.hazmat.primitives.serialization import load_pem_private_key

    locked = is_locked(content)
    try:
        private = load_pem_private_key(content, secret if locked else None)
    except (TypeError, ValueError, UnsupportedAlgorithm):
        code = "key_passphrase" if locked else "key_unreadable"
        raise FileUnreadable(code, file=name) from None
    try:
        return private, x509.load_pem_x509_certificates(content)
    except ValueError:
        raise FileUnreadable("key_no_certificate", file=name) from None


def _check_kind(private: PrivateKeyTypes, *, name: str) -> None:
    from cryptography.hazmat.primitives.asymmetric import ec, ed25519, rsa

    fits = isinstance(private, ed25519.Ed25519PrivateKey)
    fits |= isinstance(private, rsa.RSAPrivateKey) and private.key_size >= _SMALLEST_RSA
    fits |= isinstance(private, ec.EllipticCurvePrivateKey) and isinstance(
        private.curve, ec.SECP256R1 | ec.SECP384R1 | ec.SECP521R1
    )
    if not fits:
        raise FileUnreadable("key_kind", file=name, limit=_SMALLEST_RSA)


def _chain(own: x509.Certificate, others: list[x509.Certificate]) -> list[x509.Certificate]:
    """Who vouches for whom, up to one that stands for itself; else nobody.

    A certificate above which nobody stands could be altered unseen in a signed paper.
    """
    chain: list[x509.Certificate] = []
    last = own
    while not vouches(last, by=last):
        above = next((one for one in others if one not in chain and vouches(last, by=one)), None)
        if above is None:
            return []
        chain.append(above)
        last = above
    return chain
