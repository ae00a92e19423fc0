"""The signature under a paper: whose key, when by the signer's clock, and whether it fits.

It is taken only in the form in which lapwright writes it: one signature over the whole file,
and behind the pages nothing but that signature. So no bit of a signed file is left that could
be changed unseen, and nothing can be laid over the pages by who signs.
"""

from __future__ import annotations

import logging
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from io import BytesIO
from typing import TYPE_CHECKING, Any

from lapwright.errors import FileUnreadable
from lapwright.readings.paper import Paper, opened_pdf

if TYPE_CHECKING:
    from asn1crypto import cms
    from asn1crypto import x509 as asn1_x509
    from cryptography import x509
    from pyhanko.pdf_utils.reader import PdfFileReader
    from pyhanko.sign.validation.pdf_embedded import EmbeddedPdfSignature
    from pyhanko.sign.validation.status import PdfSignatureStatus

_PEM = re.compile(b"-----BEGIN CERTIFICATE-----.+?-----END CERTIFICATE-----", re.DOTALL)
_FIELD = {"/FT", "/T", "/TU", "/Type", "/Subtype", "/F", "/Rect", "/P", "/V"}
_SEALED = {"/Type", "/Filter", "/SubFilter", "/ByteRange", "/Contents", "/M"}
_FORM = {"/Fields", "/SigFlags"}
_LARGEST_KEY = 16384  # bits; larger ones only take time
logging.getLogger("pyhanko").addHandler(logging.NullHandler())  # told here, in our words
_USES = frozenset({"digital_signature", "non_repudiation"})


@dataclass(frozen=True)
class Sealed:
    """A signature that fits.

    Parameters
    ----------
    holder : str
        Name in the certificate; anybody may write any name into one of their own.
    certificate : bytes
        Of the key. X.509, DER.
    at : datetime or None
        When, by the clock of whoever signed. Aware.
    is_self_made : bool
        The certificate was signed with its own key.
    is_vouched : bool
        Certificates that the reader trusts vouch for it, at that time.
    in_term : bool
        The certificate was valid at that time.
    """

    holder: str
    certificate: bytes
    at: datetime | None
    is_self_made: bool
    is_vouched: bool
    in_term: bool


def read_certificates(content: bytes, *, name: str) -> tuple[bytes, ...]:
    """Certificates that somebody trusts, as DER, from a PEM or DER file.

    Raises
    ------
    FileUnreadable
        ``trust_unreadable``.
    """
    from cryptography import x509
    from cryptography.hazmat.primitives.serialization import Encoding

    try:
        if _PEM.search(content):
            found = [x509.load_pem_x509_certificate(each) for each in _PEM.findall(content)]
        else:
            found = [x509.load_der_x509_certificate(content)]
    except ValueError:
        raise FileUnreadable("trust_unreadable", file=name) from None
    return tuple(each.public_bytes(Encoding.DER) for each in found)


def read_signature(paper: Paper, *, name: str, trusted: Sequence[bytes] = ()) -> Sealed | None:
    """The signature of a paper, checked; None where nobody signed.

    Parameters
    ----------
    paper : Paper
        As it was read.
    name : str
        What the person calls it.
    trusted : sequence of bytes
        Certificates of the signer or of who vouches for them.

    Raises
    ------
    FileUnreadable
        ``paper_appended``, ``paper_over``, ``paper_altered``, ``paper_signature``,
        ``paper_damaged``.
    """
    if paper.revisions == 1:
        if paper.content[paper.first :].strip(b"\r\n"):
            raise FileUnreadable("paper_appended", file=name)
        return None
    with opened_pdf(paper.content, name=name) as reader:
        found = reader.embedded_signatures
        if not found or paper.revisions > 2:
            raise FileUnreadable("paper_appended", file=name)
        if len(found) > 1 or not _only_signs(reader, found[0]):
            raise FileUnreadable("paper_over", file=name)
        _check_whole(paper, found[0], name=name)
        return _checked(found[0], name=name, trusted=trusted)


# --- nothing outside the signature -------------------------------------------------------------


def _check_whole(paper: Paper, one: EmbeddedPdfSignature, *, name: str) -> None:
    """The signature must cover all bytes but its own, and be written in the one way."""
    start, before, after, rest = (int(part) for part in one.byte_range)
    if after + rest < len(paper.content):
        raise FileUnreadable("paper_appended", file=name)
    hole = paper.content[before:after]
    written = one.pkcs7_content.hex().upper().encode()
    if start or after + rest != len(paper.content) or hole != b"<%b>" % written:
        raise FileUnreadable("paper_altered", file=name)
    if one.pkcs7_content != _rewritten(one).ljust(len(one.pkcs7_content), b"\0"):
        raise FileUnreadable("paper_signature", file=name)


def _rewritten(one: EmbeddedPdfSignature) -> bytes:
    """The signature's own file made anew of what counts in it: any other bit then shows."""
    from asn1crypto import cms

    info = one.signer_info
    signer = cms.SignerInfo({
        "version": "v1",
        "sid": cms.SignerIdentifier({"issuer_and_serial_number": _serial(_own(one))}),
        "digest_algorithm": info["digest_algorithm"],
        "signed_attrs": info["signed_attrs"],
        "signature_algorithm": info["signature_algorithm"],
        "signature": info["signature"],
    })  # fmt: skip
    whole = cms.SignedData({
        "version": "v1",
        "digest_algorithms": cms.DigestAlgorithms((info["digest_algorithm"],)),
        "encap_content_info": {"content_type": "data"},
        "certificates": one.signed_data["certificates"],
        "signer_infos": [signer],
    })  # fmt: skip
    made = cms.ContentInfo({"content_type": "signed_data", "content": whole})
    return bytes(made.dump(force=True))


def _own(one: EmbeddedPdfSignature) -> asn1_x509.Certificate:
    return one.signer_cert


def _serial(certificate: asn1_x509.Certificate) -> cms.IssuerAndSerialNumber:
    from asn1crypto import cms

    return cms.IssuerAndSerialNumber(
        {"issuer": certificate.issuer, "serial_number": certificate.serial_number}
    )


def _only_signs(reader: PdfFileReader, one: EmbeddedPdfSignature) -> bool:
    """Whether the second revision adds a signature nobody sees, and changes nothing else."""
    old = reader.get_historical_resolver(0)
    known = reader.xrefs.explicit_refs_in_revision(0)
    added = reader.xrefs.explicit_refs_in_revision(1)
    root = reader.trailer.raw_get("/Root").reference
    page = one.sig_field.raw_get("/P").reference
    form = reader.root["/AcroForm"]
    (field,) = form["/Fields"]
    seal = one.sig_field.raw_get("/V").reference
    new = {field.reference, seal, reader.root.raw_get("/AcroForm").reference}
    was, now = old(page), reader.get_object(page)  # type: ignore[no-untyped-call]
    annotations = [*was.get("/Annots", ()), field]
    return all((
        added == {root, page, *new},
        not new & known,
        {root, page} <= known,
        now.get("/Type") == "/Page",
        _bytes(old(root)) == _bytes(_without(reader.root, "/AcroForm")),
        _bytes(_without(was, "/Annots")) == _bytes(_without(now, "/Annots")),
        [*map(_bytes, annotations)] == [*map(_bytes, now["/Annots"])],
        set(form) == _FORM,
        set(one.sig_field) == _FIELD,
        set(one.sig_object) == _SEALED,
        one.sig_field["/Subtype"] == "/Widget",
        len(set(one.sig_field["/Rect"])) == 1,
        all(_same(old.trailer_view, reader.trailer, key) for key in ("/Root", "/Info")),
    ))  # fmt: skip


def _same(was: Any, now: Any, key: str) -> bool:
    return _bytes(was.raw_get(key)) == _bytes(now.raw_get(key))


def _without(said: Any, name: str) -> Any:
    from pyhanko.pdf_utils.generic import DictionaryObject

    return DictionaryObject({key: said.raw_get(key) for key in said if key != name})  # type: ignore[no-untyped-call]


def _bytes(said: Any) -> bytes:
    written = BytesIO()
    said.write_to_stream(written, None)
    return written.getvalue()


# --- the signature itself ----------------------------------------------------------------------


def _checked(one: EmbeddedPdfSignature, *, name: str, trusted: Sequence[bytes]) -> Sealed:
    from cryptography import x509

    certificate = _own(one).dump()
    others = [each.dump() for each in one.other_embedded_certs]
    own = x509.load_der_x509_certificate(certificate)
    if not _is_chain(own, others):
        raise FileUnreadable("paper_signature", file=name)
    status = _status(one, trusted, name=name)
    if not status.intact:
        raise FileUnreadable("paper_altered", file=name)
    if not status.valid:
        raise FileUnreadable("paper_signature", file=name)
    at = status.signer_reported_dt
    in_term = at is not None and own.not_valid_before_utc <= at <= own.not_valid_after_utc
    return Sealed(
        holder=_holder(own),
        certificate=certificate,
        at=at,
        is_self_made=vouches(own, by=own),
        is_vouched=status.trusted,
        in_term=in_term,
    )


def _status(
    one: EmbeddedPdfSignature, trusted: Sequence[bytes], *, name: str
) -> PdfSignatureStatus:
    """What the library says of the signature, without asking anything of the network."""
    from asn1crypto import x509
    from pyhanko.pdf_utils.misc import PdfError
    from pyhanko.sign.validation import validate_pdf_signature
    from pyhanko.sign.validation.errors import SignatureValidationError
    from pyhanko.sign.validation.settings import KeyUsageConstraints
    from pyhanko_certvalidator import ValidationContext

    roots = [x509.Certificate.load(each) for each in trusted]
    context = ValidationContext(
        trust_roots=roots, moment=one.self_reported_timestamp, allow_fetching=False
    )
    uses = KeyUsageConstraints(key_usage=_USES, match_all_key_usages=False)
    try:
        return validate_pdf_signature(
            one, signer_validation_context=context, key_usage_settings=uses, skip_diff=True
        )
    except (SignatureValidationError, PdfError):
        raise FileUnreadable("paper_signature", file=name) from None


def _holder(own: Any) -> str:
    from cryptography.x509 import NameOID

    named = own.subject.get_attributes_for_oid(NameOID.COMMON_NAME)
    text = str(named[0].value) if named else own.subject.rfc4514_string()
    return "".join(sign if sign.isprintable() else " " for sign in text)


def vouches(certificate: x509.Certificate, *, by: x509.Certificate) -> bool:
    """Whether one certificate was signed with the key of another."""
    from cryptography.exceptions import InvalidSignature

    try:
        certificate.verify_directly_issued_by(by)
    except (InvalidSignature, TypeError, ValueError):
        return False
    return True


def _is_chain(own: Any, others: Sequence[bytes]) -> bool:
    """Whether each further certificate vouches for one below it, up to one by itself."""
    from cryptography import x509

    left = [x509.load_der_x509_certificate(each) for each in others]
    last = own
    while left:
        above = next((each for each in left if vouches(last, by=each)), None)
        if above is None:
            return False
        left.remove(above)
        last = above
    return not others or vouches(last, by=last)
