"""Links that open the handover page of one job for its customer, for a while.

Signed with a salt of their own, so that no other signature of the service opens the page, and
expiring, since messages are forwarded and homes are sold.
"""

from datetime import date, timedelta

from django.core import signing
from django.utils import timezone

from jobs.models import Job
from reports.document_links import LinkExpired

SALT = "reports.handover-link"
LINK_LASTS = timedelta(days=90)


def handover_token(job: Job) -> str:
    return signing.dumps(str(job.pk), salt=SALT)


def last_day() -> date:
    """Of a link that is made now: the last whole day, in the firm's zone, on which it opens."""
    return timezone.localdate(timezone.now() + LINK_LASTS) - timedelta(days=1)


def job_of(token: str) -> Job | None:
    """The job that a token opens, handed over; None for what was never a token of ours, and once
    the customer was erased.

    Raises `LinkExpired`.
    """
    try:
        key = signing.loads(token, salt=SALT, max_age=LINK_LASTS)
    except signing.SignatureExpired as error:
        raise LinkExpired from error
    except signing.BadSignature:
        return None
    jobs = Job.objects.filter(customer__erased_at=None).select_related("customer", "site")
    return jobs.filter(handovers__isnull=False, pk=key).first()
