"""Times that an authority outside the firm vouches for (RFC 3161), inside papers.

With `TIMESTAMP_URL` the signature of a paper carries one (PAdES B-T, ETSI EN 319 142-1), and later
the whole file carries others on top (B-LTA): each covers everything before it, so that it is
renewed before an algorithm or a certificate under it grows old. What is needed to verify them goes
in too, as far as the authority publishes it.
"""

import asyncio
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from io import BytesIO

from asn1crypto import x509
from django.conf import settings
from pyhanko.sign.signers import PdfTimeStamper
from pyhanko.sign.signers.pdf_signer import TimestampDSSContentSettings
from pyhanko.sign.timestamps import HTTPTimeStamper, TimeStamper
from pyhanko.sign.validation import validate_pdf_signature
from pyhanko_certvalidator import ValidationContext

from reports.archival_paper import ArchivalPaper
from reports.verification.findings import Standing
from reports.verification.paper_file import PaperFile
from reports.verification.signatures import check_signatures, time_stamps

ANSWERS_WITHIN_SECONDS = 15


class UnusableTimeStamp(RuntimeError):
    """The authority's answer does not make a paper that can be verified."""


@dataclass(frozen=True, slots=True)
class Stamp:
    """The newest time on a paper: whose, when, and until when its certificate is valid."""

    authority: str
    stamped_at: datetime
    good_until: datetime


def authority() -> TimeStamper | None:
    """The one that the firm uses; None where it uses none."""
    return _authority(settings.TIMESTAMP_URL) if settings.TIMESTAMP_URL else None


@cache
def _authority(address: str) -> TimeStamper:
    return HTTPTimeStamper(address, timeout=ANSWERS_WITHIN_SECONDS)


def newest_stamp(pdf: bytes) -> Stamp | None:
    """None where no authority has stamped the paper."""
    statuses = time_stamps(PaperFile.read(pdf))
    if not statuses:
        return None
    certificate = statuses[-1].signing_cert
    return Stamp(
        authority=certificate.subject.human_friendly[:200],
        stamped_at=statuses[-1].timestamp,
        good_until=certificate.not_valid_after,
    )


def with_new_stamp(pdf: bytes) -> bytes:
    """The same paper with a time over the whole of it, and before that what it takes to verify what
    is inside; nothing before it changes.

    Raises `UnusableTimeStamp`, and what pyHanko raises where the authority does not answer.
    """
    stamper = authority()
    if stamper is None:
        raise UnusableTimeStamp("TIMESTAMP_URL")
    paper = PaperFile.read(pdf)
    trusting = _trusting(paper, stamper)
    of_signature = validate_pdf_signature(paper.signature, trusting, skip_diff=True)
    paths = [of_signature.validation_path] if of_signature.validation_path else []
    stamped = BytesIO()
    PdfTimeStamper(stamper).timestamp_pdf(
        ArchivalPaper(BytesIO(pdf)),
        "sha256",
        validation_context=trusting,
        validation_paths=paths,
        output=stamped,
        dss_settings=TimestampDSSContentSettings(include_vri=False, update_before_ts=True),
    )
    refuse_what_does_not_verify(stamped.getvalue())
    return stamped.getvalue()


def refuse_what_does_not_verify(pdf: bytes) -> None:
    """Raises `UnusableTimeStamp`: better no time than a paper that its own verification refuses."""
    for finding in check_signatures(PaperFile.read(pdf), None):
        if finding.standing == Standing.BROKEN:
            raise UnusableTimeStamp(finding.says)


def _trusting(paper: PaperFile, stamper: TimeStamper) -> ValidationContext:
    """Whom to trust is for whoever verifies the paper; here it is whoever has signed it and stamps
    it, so that what they publish of themselves is gathered."""
    roots = [paper.signature.signer_cert, *paper.signature.other_embedded_certs]
    roots += [status.signing_cert for status in time_stamps(paper)]
    return ValidationContext(
        trust_roots=[*roots, *_certificates(stamper)],
        allow_fetching=True,
        revocation_mode="soft-fail",
    )


def _certificates(stamper: TimeStamper) -> list[x509.Certificate]:
    """Those above the authority's own where it sends them, else its own."""
    asyncio.run(stamper.async_dummy_response("sha256"))
    sent = list(stamper.cert_registry)
    return [certificate for certificate in sent if certificate.ca] or sent
