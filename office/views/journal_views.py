"""The journal of a job, to be read by people."""

from django.core.paginator import Paginator
from django.db.models import OuterRef, QuerySet, Subquery
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from jobs.capabilities import Capability
from jobs.models import EnrolledKey, Job, JournalEntry
from jobs.views.access import capability_required, person_of
from office.labels import journal_line

ENTRIES_PER_PAGE = 50


@capability_required(Capability.READ_JOURNAL)
@require_GET
def journal(request: HttpRequest, reference: str) -> HttpResponse:
    """Newest first; `?page=` further back."""
    visible = Job.objects.visible_to(person_of(request))
    job = get_object_or_404(visible, reference=reference)
    page = Paginator(_entries(job), ENTRIES_PER_PAGE).get_page(request.GET.get("page"))
    devices = dict(EnrolledKey.objects.values_list("thumbprint", "device"))
    lines = [journal_line(entry, devices) for entry in page]
    context = {"job": job, "page": page, "entries": lines}
    return render(request, "office/journal.html", context)


def _entries(job: Job) -> QuerySet[JournalEntry]:
    """Each with `text_before`: what was written of the same record before it, if anything was."""
    of_job = JournalEntry.objects.filter(stream=job.journal_stream)
    before = of_job.filter(record_id=OuterRef("record_id"), number__lt=OuterRef("number"))
    newest = Subquery(before.order_by("-number").values("text")[:1])
    return of_job.select_related("actor").annotate(text_before=newest).order_by("-number")
