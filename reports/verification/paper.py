"""Everything that can be said of one paper from its file."""

import json
from collections.abc import Iterator, Sequence

from jobs.checkpoints import PublicKey, read_checkpoint
from jobs.sentences import sentence
from reports.verification.findings import Finding, broken, missing, unknown
from reports.verification.names import PROOF, RECORD
from reports.verification.paper_file import PaperFile, UnreadablePaper
from reports.verification.printed import check_pages
from reports.verification.proof import Claims, Proof, check_proof
from reports.verification.signatures import check_signatures
from reports.verification.witnesses import Witness, check_witnesses


def check_paper(content: bytes, witnesses: Sequence[tuple[str, Witness]] = ()) -> Iterator[Finding]:
    """One thing after the other, the signature first. Whatever a file is made of, it ends with
    findings."""
    try:
        paper = PaperFile.read(content)
        record = json.loads(paper.attachments[RECORD])
        claims = Claims(paper.attachments[RECORD].decode(), record)
        named = claims.journal.get("signing_certificates")
        yield from check_signatures(paper, tuple(named) if named else None)
        yield from check_pages(content, record)
        yield from _check_journal(paper, claims, witnesses)
    except UnreadablePaper as fault:
        yield broken("file", sentence("the file cannot be read: {why}", why=str(fault)))
    except Exception as fault:  # whatever a damaged file makes of its readers
        yield broken(
            "file",
            sentence(
                "a part of the file is not what a paper holds ({kind}: {why})",
                kind=type(fault).__name__,
                why=str(fault),
            ),
        )
    yield from _what_only_the_firm_knows()


def _check_journal(
    paper: PaperFile, claims: Claims, witnesses: Sequence[tuple[str, Witness]]
) -> Iterator[Finding]:
    if PROOF not in paper.attachments:
        yield missing(
            "journal",
            sentence(
                "whether the journal of the firm ever held this record: the paper carries no proof "
                "of it, since it was made before papers of its kind had one"
            ),
        )
        return
    proof = Proof.read(paper.attachments[PROOF])
    yield from check_proof(proof, claims)
    checkpoint, key = read_checkpoint(proof.checkpoint), PublicKey.read(proof.checkpoint_key)
    yield from check_witnesses(checkpoint, key, witnesses)


def _what_only_the_firm_knows() -> Iterator[Finding]:
    yield unknown(
        "firm",
        sentence(
            "whether it was withdrawn, or superseded by a later edition: that happened, if it did, "
            "after the file was made, and only the firm's page and journal tell"
        ),
    )
    yield unknown(
        "firm",
        sentence(
            "whether a defect was found since, even one that could hurt somebody: the firm's page "
            "says how many are open; ask before you rely on the doorset"
        ),
    )
    yield unknown(
        "firm",
        sentence(
            "whether what was measured on site was true: the journal proves what was recorded and "
            "that it was not changed since"
        ),
    )
