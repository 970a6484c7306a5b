"""By when building control is told of work that is finished."""

from datetime import date, timedelta

from django.utils import timezone

from installs.models import Handover
from jobs.models import Job
from surveys.models import Survey

ASKED = ("yes", "not_known")


def notify_by(job: Job) -> date | None:
    """The last day for the notice and the certificate of notifiable work, by the newest survey that
    says whether it is; None before the handover, and where it is not notifiable or nobody said."""
    handover = Handover.objects.filter(job=job).first()
    if handover is None or _notifiable(job) not in ASKED:
        return None
    finished = timezone.localdate(handover.recorded_at or handover.created_at)
    return finished + timedelta(days=job.rule_set.rules["notification.days"])


def _notifiable(job: Job) -> str:
    said = Survey.objects.filter(opening__job=job, conditions__has_key="notifiable")
    newest = said.order_by("-taken_at", "-created_at").first()
    return str(newest.conditions["notifiable"]) if newest else ""
