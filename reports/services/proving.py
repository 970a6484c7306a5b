"""The proof that a paper carries: its record was in the journal, sealed, before it was drawn."""

from jobs.arithmetic.merkle import Hash, inclusion_path
from jobs.arithmetic.seal_leaf import chain_leaf, hash_of_leaf
from jobs.checkpoints import read_checkpoint
from jobs.journal_types import JournalType
from jobs.models import JournalEntry
from jobs.seal_log import Seal, path_between, path_to_checkpoint, seals_since
from jobs.services.seals import seal_streams
from reports.models import Document
from reports.papers.frozen.job import JournalFacts
from reports.verification.proof import Proof


def proof_of(document: Document) -> Proof:
    """From the entry that asked for the paper up to the checkpoint of a seal that holds it.

    Seals that entry where no seal holds it yet, and must not be called in a transaction of a
    service: sealing takes the heads of all chains.
    """
    request = JournalEntry.objects.get(
        stream=document.journal_stream,
        type=JournalType.DOCUMENT_REQUESTED,
        record_id=str(document.pk),
    )
    leaf = chain_leaf(request.stream_id, request.number, request.digest)
    seal = _sealed(request)
    return Proof(
        entries=_entries(document.paper_record.journal, request),
        record_key=document.seal_key,
        seal_index=seal.leaves.index(leaf),
        seal_size=len(seal.leaves),
        seal_path=_hexed(
            inclusion_path(seal.leaves.index(leaf), [hash_of_leaf(one) for one in seal.leaves])
        ),
        log_path=_hexed(path_to_checkpoint(seal.number, seal.number)),
        checkpoint=seal.checkpoint,
        checkpoint_key=seal.key,
        **_since_printed(document.paper_record.journal, seal),
    )


def _sealed(request: JournalEntry) -> Seal:
    """The seal that holds the entry itself, whatever followed it in its chain."""
    leaf = chain_leaf(request.stream_id, request.number, request.digest)
    for seal in seals_since(request.created_at):
        if leaf in seal.leaves and seal.checkpoint:
            return seal
    sealed = seal_streams(request)
    assert sealed  # noqa: S101  there is something to seal where an entry is named
    return Seal.read(sealed)


def _entries(printed: JournalFacts, request: JournalEntry) -> tuple[str, ...]:
    """From the one after the head that the paper prints."""
    first = min(printed.entries + 1, request.number)
    entries = JournalEntry.objects.filter(
        stream=request.stream_id, number__range=(first, request.number)
    )
    return tuple(entries.order_by("number").values_list("text", flat=True))


def _since_printed(printed: JournalFacts, seal: Seal) -> dict[str, tuple[str, ...]]:
    if not printed.checkpoint:
        return {}
    size = read_checkpoint(printed.checkpoint).size
    return {
        "printed_path": _hexed(path_to_checkpoint(size, size)),
        "since_printed": _hexed(path_between(size, seal.number)),
    }


def _hexed(path: list[Hash]) -> tuple[str, ...]:
    return tuple(hash_.hex() for hash_ in path)
