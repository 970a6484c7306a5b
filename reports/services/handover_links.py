"""Making the link that opens the handover page for a customer."""

from dataclasses import dataclass
from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _

from installs.models import Handover
from jobs.errors import Conflict, named
from jobs.journal_types import JournalType
from jobs.models import Job, Person
from jobs.services.journal import append
from reports.addresses import handover_address
from reports.handover_links import last_day


@dataclass(frozen=True, slots=True)
class HandoverLink:
    address: str
    last_day: date


@transaction.atomic
def make_handover_link(*, actor: Person, job: Job) -> HandoverLink:
    """A new link; earlier ones work until their own last day. The journal keeps who made one,
    never the link itself.

    Raises `Conflict` while the job is not handed over, and once its customer was erased.
    """
    if job.customer.erased_at:
        raise Conflict(_("the customer of this job was erased"), named(job))
    if not Handover.objects.filter(job=job).exists():
        raise Conflict(_("the doorsets of this job are not handed over yet"), named(job))
    link = HandoverLink(handover_address(job), last_day())
    append(
        stream=job.journal_stream,
        actor=actor,
        entry_type=JournalType.HANDOVER_LINK_ISSUED,
        record=("jobs.job", str(job.pk)),
        body={"last_day": link.last_day.isoformat()},
    )
    return link
