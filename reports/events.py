"""The body of a webhook: an entry of the journal whose type is public.

It is thin: it says which record of which job to look at, and holds nothing about a person.
"""

import json
from datetime import UTC

from jobs.models import JournalEntry


def event_body(entry: JournalEntry, job_reference: str) -> str:
    """The body of a webhook as it is signed and sent, the same in every attempt."""
    return json.dumps(
        {
            "type": entry.type,
            "timestamp": entry.created_at.astimezone(UTC).isoformat().replace("+00:00", "Z"),
            "data": {
                "job": job_reference,
                "record": {"kind": entry.record_kind.rpartition(".")[2], "id": entry.record_id},
                "journal": {"number": entry.number, "digest": entry.digest},
            },
        },
        separators=(",", ":"),
    )
