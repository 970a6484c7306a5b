"""Whether what is on record still holds: the journal, and everything that it tells of."""

from collections.abc import Iterator

from jobs.services.verifying import verify_everything


def what_does_not_hold() -> Iterator[str]:
    """In words: each chain that is broken, each record, part and file that is not what it was."""
    verification = verify_everything()
    for flaw in verification.flaws:
        yield f"the journal {flaw.stream}, entry {flaw.number}: {flaw.why}"
    for contradiction in verification.contradictions:
        yield str(contradiction)
