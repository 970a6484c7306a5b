"""What of the journal is an event for other programs, and what they are told of it.

A webhook is thin: it says which record of which job to look at, and holds nothing about a person.
"""

import json
from datetime import UTC

from jobs.models import JournalEntry

# Kind of record and verb of its journal entry -> type of the event.
EVENTS: dict[tuple[str, str], str] = {
    ("jobs.job", "take on job"): "job.taken_on",
    ("jobs.visit", "book visit"): "visit.booked",
    ("jobs.visit", "move visit"): "visit.moved",
    ("jobs.visit", "cancel visit"): "visit.cancelled",
    ("surveys.survey", "record survey"): "survey.recorded",
    ("surveys.survey", "accept survey"): "survey.accepted",
    ("surveys.fitdecision", "decide fit"): "fit.decided",
    ("jobs.doorset", "order doorset"): "doorset.ordered",
    ("jobs.delivery", "record delivery"): "delivery.recorded",
    ("installs.installation", "plan installation"): "installation.planned",
    ("installs.installation", "replan installation"): "installation.replanned",
    ("installs.defect", "find defect"): "defect.found",
    ("installs.defect", "put defect right"): "defect.put_right",
    ("installs.defect", "reinspect defect"): "defect.reinspected",
    ("installs.concession", "concede"): "concession.granted",
    ("installs.handover", "hand over"): "job.handed_over",
    ("reports.document", "make document"): "document.made",
    ("reports.document", "supersede document"): "document.superseded",
    ("reports.document", "withdraw document"): "document.withdrawn",
    ("reports.dispatch", "end as sent"): "letter.accepted",
    ("reports.dispatch", "end as failed"): "letter.failed",
    ("reports.dispatch", "end as bounced"): "letter.bounced",
}
EVENT_TYPES = frozenset(EVENTS.values())


def event_type(entry: JournalEntry) -> str:
    return EVENTS[entry.record_kind, entry.verb]


def event_body(entry: JournalEntry, job_reference: str) -> str:
    """The body of a webhook as it is signed and sent, the same in every attempt."""
    return json.dumps(
        {
            "type": event_type(entry),
            "timestamp": entry.made_at.astimezone(UTC).isoformat().replace("+00:00", "Z"),
            "data": {
                "job": job_reference,
                "record": {"kind": entry.record_kind.rpartition(".")[2], "id": entry.record_id},
                "journal": {"number": entry.number, "digest": entry.digest},
            },
        },
        separators=(",", ":"),
    )
