"""The list of jobs as a table to take away, narrowed as on its page."""

from collections.abc import Iterator
from typing import Any

from django.contrib import messages
from django.db.models import QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET
from tablib.core import Dataset

from jobs.files import guard
from jobs.pages.access import page_for, person_of
from reports.pages.job_filter import JobFilter
from reports.stages import Stage

# A table is made in memory; what is larger is narrowed first.
MOST_ROWS = 10_000
COLUMNS = ("Reference", "Title", "Stage", "Customer", "Address", "Town", "Postcode", "Taken on")
MEDIA_TYPES = {
    "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}
# What a spreadsheet takes for a formula when a cell begins with it.
BEGINS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")


@page_for()
@require_GET
def export_jobs(request: HttpRequest, ending: str) -> HttpResponse:
    """As CSV (RFC 4180) or as an Office Open XML workbook, without anything that would be run."""
    if ending not in MEDIA_TYPES:
        raise Http404
    wanted = JobFilter(request.GET, person=person_of(request))
    jobs = wanted.jobs()
    back = f"{reverse('job-list')}?{request.GET.urlencode()}"
    if wanted.errors:
        return redirect(back)
    if jobs[MOST_ROWS : MOST_ROWS + 1].exists():
        told = f"These are more than {MOST_ROWS:,} jobs, too many for one table. Narrow them first."
        messages.warning(request, told)
        return redirect(back)
    table = Dataset(*_rows(jobs), headers=COLUMNS, title="Jobs")
    answer = HttpResponse(table.export(ending), content_type=MEDIA_TYPES[ending])
    name = f"jobs-{timezone.localdate().isoformat()}.{ending}"
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    guard(answer)
    return answer


def _rows(jobs: QuerySet[Any]) -> Iterator[tuple[str, ...]]:
    for job in jobs.iterator(chunk_size=1000):
        site = job.site
        cells = (
            job.reference,
            job.title,
            Stage(job.stage).label,
            job.customer.name,
            ", ".join(filter(None, (site.address_line_1, site.address_line_2))),
            site.town,
            site.postcode,
            timezone.localdate(job.created_at).isoformat(),
        )
        yield tuple(defused(cell) for cell in cells)


def defused(text: str) -> str:
    """The text with an apostrophe in front where a spreadsheet would run it."""
    return f"'{text}" if text.startswith(BEGINS_A_FORMULA) else text
