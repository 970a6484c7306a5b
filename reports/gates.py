"""The gates of a whole job, and the last of them: when the completion certificate may be issued."""

from jobs.models import Job
from jobs.refusals import Blocker, named


def all_gates(job: Job) -> dict[str, list[Blocker]]:
    """Every gate in the order a job passes them, with what still stands in its way."""
    from installs import gates as installs_gates
    from surveys import gates as surveys_gates

    return {
        "order": surveys_gates.order_gate(job),
        "removal": surveys_gates.removal_gate(job),
        "fixing": installs_gates.fixing_gate(job),
        "glazing": installs_gates.glazing_gate(job),
        "handover": installs_gates.handover_gate(job),
        "certificate": certificate_gate(job),
    }


def certificate_gate(job: Job) -> list[Blocker]:
    """Handed over, and everything that the handover rested on still stands."""
    from installs import gates as installs_gates

    return [*not_handed_over(job), *installs_gates.handover_gate(job)]


def not_handed_over(job: Job) -> list[Blocker]:
    if hasattr(job, "handover"):
        return []
    return [
        Blocker(
            "handover",
            "hand the doorsets over to the customer",
            "the certificate carries the customer's acknowledgement",
            named(job),
        )
    ]
