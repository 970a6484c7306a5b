"""Signing papers so that whoever changes a byte of one breaks its signature.

PAdES, baseline B (ETSI EN 319 142-1): an approval signature without a time stamp of somebody else;
the journal and its seals say when a paper was made.
"""

from functools import cache
from io import BytesIO

from django.conf import settings
from django.utils.translation import gettext as _
from msgspec import UNSET
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign.fields import SigFieldSpec, SigSeedSubFilter
from pyhanko.sign.signers import PdfSignatureMetadata, PdfSigner, SimpleSigner

from reports.papers.frozen.job import JournalFacts
from reports.signing_key import key_file, passphrase, signing_certificates, unusable

FIELD = "Signature"


class ArchivalPaper(IncrementalPdfFileWriter):
    """Leaves what makes the paper archival as it is: its metadata say that it is PDF/A
    (ISO 19005-3) and when it was made, and its version is the one that this standard stands on."""

    def ensure_output_version(self, version: tuple[int, int]) -> None:
        """The kind of signature is of PDF 2.0, the paper is not; readers take it nonetheless."""

    def _update_meta(self) -> None:
        """The library would write metadata of its own instead."""


class AnotherSigningKey(RuntimeError):
    """The key of today is not the one that the record of a paper names."""


def refuse_another_key(journal: JournalFacts) -> None:
    """Raises `AnotherSigningKey`: a paper that its own record calls forged must not go out."""
    named = journal.signing_certificates
    if named is not UNSET and named != signing_certificates():
        raise AnotherSigningKey(
            _("the signing key was changed since the paper was asked for; withdraw it and ask anew")
        )


def sign_paper(pdf: bytes, reason: str) -> bytes:
    """The same PDF with an invisible signature added behind it; nothing before it changes."""
    signer = PdfSigner(
        PdfSignatureMetadata(
            field_name=FIELD,
            md_algorithm="sha256",
            subfilter=SigSeedSubFilter.PADES,
            reason=reason,
            name=settings.FIRM_NAME,
        ),
        signer=_signer(),
        new_field_spec=SigFieldSpec(FIELD),
    )
    signed = BytesIO()
    signer.sign_pdf(ArchivalPaper(BytesIO(pdf)), output=signed)
    return signed.getvalue()


@cache
def _signer() -> SimpleSigner:
    """Once per process. Raises `UnusableSigningKey`."""
    path = key_file()
    signer = SimpleSigner.load_pkcs12(str(path), passphrase=passphrase())
    if signer is None:
        raise unusable(path)
    return signer
