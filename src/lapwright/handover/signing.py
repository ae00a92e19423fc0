"""A signature under a paper: PAdES baseline B-B (ETSI EN 319 142-1), added behind its last byte.

The pages are not touched. The field lies outside the page and has no size, as PDF/A-3 and
PDF/UA-1 together ask of one that nobody sees. Nothing is fetched from anywhere: neither a
time stamp nor news of certificates.
"""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

from lapwright.errors import LapwrightError
from lapwright.handover.keys import Key

if TYPE_CHECKING:
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
    from pyhanko.sign.signers import SimpleSigner

FIELD = "Signature"


def signed(pdf: bytes, *, key: Key, about: str) -> bytes:
    """The paper with a signature under it.

    Parameters
    ----------
    pdf : bytes
        As it was made, not signed yet.
    key : Key
        Whose certificate goes with it.
    about : str
        What a reader is told of the field, in the language of the paper.

    Returns
    -------
    bytes
        ``pdf`` to its last byte, and the signature behind it.

    Raises
    ------
    LapwrightError
        ``paper_signed``: there is one already.
    """
    from pyhanko.sign import fields
    from pyhanko.sign.signers import PdfSignatureMetadata, PdfSigner

    writer = _writer(pdf if pdf.endswith(b"\n") else pdf + b"\n")  # ISO 19005-3, 6.1.9
    if "/AcroForm" in writer.root:
        raise LapwrightError("paper_signed")
    spec = fields.SigFieldSpec(
        FIELD,
        readable_field_name=about,
        invis_sig_settings=fields.InvisSigSettings(box_out_of_bounds=True),
    )
    meta = PdfSignatureMetadata(
        field_name=FIELD, md_algorithm="sha256", subfilter=fields.SigSeedSubFilter.PADES
    )
    out = PdfSigner(meta, signer=_signer(key), new_field_spec=spec).sign_pdf(writer)
    return bytes(out.getvalue())


def _writer(pdf: bytes) -> IncrementalPdfFileWriter:
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

    class Update(IncrementalPdfFileWriter):
        """Leaves title, dates, maker and PDF version of the paper as they are.

        PDF/A-3 is PDF 1.7; the writer would declare PDF 2.0 for a key on an elliptic curve.
        """

        def _update_meta(self) -> None:
            pass

        def ensure_output_version(self, version: object) -> None:
            pass

        def register_extension(self, ext: object) -> None:
            pass

    return Update(BytesIO(pdf))


def _signer(key: Key) -> SimpleSigner:
    from asn1crypto import keys, x509
    from pyhanko.sign.signers import SimpleSigner
    from pyhanko_certvalidator.registry import SimpleCertificateStore

    others = SimpleCertificateStore()  # type: ignore[no-untyped-call]
    others.register_multiple(x509.Certificate.load(one) for one in key.chain)
    return SimpleSigner(
        signing_cert=x509.Certificate.load(key.certificate),
        signing_key=keys.PrivateKeyInfo.load(key.private),
        cert_registry=others,
    )
