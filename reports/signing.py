"""Signing papers so that whoever changes a byte of one breaks its signature.

PAdES (ETSI EN 319 142-1): an approval signature, baseline B-T with an authority outside the firm
that stamps the time (`TIMESTAMP_URL`), B-B without; then the journal and its seals alone say when a
paper was made.
"""

import logging
from functools import cache
from io import BytesIO
from pathlib import Path

from django.conf import settings
from django.utils.translation import gettext as _
from msgspec import UNSET
from pyhanko.sign.fields import SigFieldSpec, SigSeedSubFilter
from pyhanko.sign.signers import PdfSignatureMetadata, PdfSigner, SimpleSigner
from pyhanko.sign.timestamps import TimeStamper

from reports.archival_paper import ArchivalPaper
from reports.papers.frozen.job import JournalFacts
from reports.signing_key import (
    content_of,
    key_file,
    passphrase,
    signing_certificates,
    unusable,
)
from reports.timestamping import authority, refuse_what_does_not_verify

log = logging.getLogger(__name__)

FIELD = "Signature"


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
    """The same PDF with an invisible signature added behind it; nothing before it changes.

    It carries a time of the authority outside the firm where there is one. An authority that is
    away, or whose answer does not verify, stops no paper: a time is added later.
    """
    if stamper := authority():
        try:
            stamped = _signed(pdf, reason, stamper)
            refuse_what_does_not_verify(stamped)
        except Exception:  # whatever the authority answers
            log.warning("signing without a time stamp", exc_info=True)
        else:
            return stamped
    return _signed(pdf, reason, None)


def _signed(pdf: bytes, reason: str, stamper: TimeStamper | None) -> bytes:
    signer = PdfSigner(
        PdfSignatureMetadata(
            field_name=FIELD,
            md_algorithm="sha256",
            subfilter=SigSeedSubFilter.PADES,
            reason=reason,
            name=settings.FIRM_NAME,
        ),
        signer=_signer(key_file(), passphrase()),
        timestamper=stamper,
        new_field_spec=SigFieldSpec(FIELD),
    )
    signed = BytesIO()
    signer.sign_pdf(ArchivalPaper(BytesIO(pdf)), output=signed)
    return signed.getvalue()


@cache
def _signer(path: Path, given: bytes | None) -> SimpleSigner:
    """Of the same key that `signing_certificates` names. Raises `UnusableSigningKey`."""
    try:
        return SimpleSigner.load_pkcs12_data(content_of(path), [], given)
    except ValueError as fault:
        raise unusable(path) from fault
