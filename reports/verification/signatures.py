"""The signatures of a paper: that of the firm over every byte, and the times that others vouch for.

What pyHanko validates is the mathematics; `wrapping` looks at the few bytes that no signature
covers.
"""

import hashlib
from collections.abc import Iterator
from datetime import datetime

from asn1crypto import x509
from pyhanko.sign.validation import validate_pdf_signature, validate_pdf_timestamp
from pyhanko.sign.validation.pdf_embedded import EmbeddedPdfSignature
from pyhanko.sign.validation.status import SignatureCoverageLevel, TimestampSignatureStatus
from pyhanko_certvalidator import ValidationContext

from jobs.sentences import Sentence, sentence
from reports.verification.findings import Finding, broken, holds, missing, unknown
from reports.verification.paper_file import PaperFile
from reports.verification.revisions import only_times_were_added
from reports.verification.wrapping import is_plainly_written


def check_signatures(paper: PaperFile, named: tuple[str, ...] | None) -> Iterator[Finding]:
    """`named` are the certificates that the record names, as SHA-256s, the signer's first; None
    where it names none."""
    whole = _covers_everything(paper) and all(
        is_plainly_written(paper.content, signature)
        for signature in (paper.signature, *paper.timestamps)
    )
    if not (
        whole and _is_sound(paper) and _times_are_sound(paper) and only_times_were_added(paper)
    ):
        yield broken("signature", sentence("the file was changed since it was signed"))
        return
    yield holds(
        "signature",
        sentence(
            "the signature covers every byte, and none was changed since (SHA-256 of the file "
            "{digest})",
            digest=hashlib.sha256(paper.content).hexdigest(),
        ),
    )
    yield from _signer(paper.signature, named)
    yield from _times(paper)


def _signer(signature: EmbeddedPdfSignature, named: tuple[str, ...] | None) -> Iterator[Finding]:
    signer = signature.signer_cert
    name = _name(signer.subject)
    digest = signer.sha256.hex()
    above = sorted(c.sha256.hex() for c in signature.other_embedded_certs)
    if named is None:
        yield missing("signer", sentence("the record inside does not say whose signature it needs"))
    elif (digest, *above) != named:
        yield broken(
            "signer",
            sentence(
                "it is signed by {name}, and not with the key that its record names", name=name
            ),
        )
    else:
        yield holds(
            "signer",
            sentence(
                "it is signed with the key that its record names ({name}, certificate {digest})",
                name=name,
                digest=digest,
            ),
        )
    if signer.self_issued:
        yield unknown(
            "signer",
            sentence(
                "who {name} is: the firm made that key for itself, and nobody else vouches for it",
                name=name,
            ),
        )
    else:
        yield unknown(
            "signer",
            sentence(
                "whether {issuer}, which vouches for that key, is to be trusted",
                issuer=_name(signer.issuer),
            ),
        )


def time_stamps(paper: PaperFile) -> list[TimestampSignatureStatus]:
    """The time inside the signature, then those over the whole file, the oldest first."""
    of_signature = validate_pdf_signature(
        paper.signature, _trusting(paper.signature), skip_diff=True
    ).timestamp_validity
    later = (
        validate_pdf_timestamp(timestamp, _trusting(timestamp), skip_diff=True)
        for timestamp in paper.timestamps
    )
    return [*([of_signature] if of_signature else []), *later]


def _times(paper: PaperFile) -> Iterator[Finding]:
    statuses = time_stamps(paper)
    for status in statuses:
        yield holds("time", _stamped(status.signing_cert, status.timestamp))
        yield unknown(
            "time",
            sentence(
                "whether {authority}, which vouches for that time, is to be trusted",
                authority=_name(status.signing_cert.subject),
            ),
        )
    if not statuses:
        yield unknown(
            "time",
            sentence("when it was signed: no authority outside the firm has stamped a time on it"),
        )


def _stamped(authority: x509.Certificate, moment: datetime) -> Sentence:
    return sentence(
        "{authority} vouches that it existed on {moment}",
        authority=_name(authority.subject),
        moment=moment.isoformat(),
    )


def _name(subject: x509.Name) -> str:
    return str(subject.native.get("common_name") or subject.human_friendly)


def _is_sound(paper: PaperFile) -> bool:
    status = validate_pdf_signature(paper.signature, _trusting(paper.signature), skip_diff=True)
    return bool(status.intact and status.valid)


def _times_are_sound(paper: PaperFile) -> bool:
    return all(stamp.intact and stamp.valid for stamp in time_stamps(paper))


def _covers_everything(paper: PaperFile) -> bool:
    newest = paper.timestamps[-1] if paper.timestamps else paper.signature
    newest.compute_integrity_info(skip_diff=True)
    return newest.coverage == SignatureCoverageLevel.ENTIRE_FILE


def _trusting(signature: EmbeddedPdfSignature) -> ValidationContext:
    """Whom to trust is the reader's question, so what is asked here is the mathematics alone."""
    roots = [signature.signer_cert]
    for attribute in signature.signer_info["unsigned_attrs"] or ():
        for token in attribute["values"]:
            roots += [certificate.chosen for certificate in token["content"]["certificates"]]
    return ValidationContext(trust_roots=roots, allow_fetching=False)
