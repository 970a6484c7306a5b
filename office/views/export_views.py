"""The list of jobs as a table to take away, narrowed as on its page."""

from dataclasses import replace

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_GET

from jobs import tables
from jobs.capabilities import Capability
from jobs.errors import InvalidField
from jobs.files import guard
from jobs.table_file import MEDIA_TYPES
from jobs.views.access import capability_required, person_of
from office.stages import Stage, with_stage
from office.views.job_filter import JobFilter

# The stage of a job follows from papers and fittings, of which the floor of jobs knows nothing.
JOBS = replace(
    tables.JOBS, columns={**tables.JOBS.columns, "Stage": lambda job: str(Stage(job.stage).label)}
)


@capability_required(Capability.READ)
@require_GET
def export_jobs(request: HttpRequest, ending: str) -> HttpResponse:
    if ending not in MEDIA_TYPES:
        raise Http404
    wanted = JobFilter(request.GET, person=person_of(request))
    jobs = with_stage(wanted.jobs())
    back = f"{reverse('job-list')}?{request.GET.urlencode()}"
    if wanted.errors:
        return redirect(back)
    try:
        table = JOBS.of(jobs)
    except InvalidField as refusal:
        messages.warning(request, refusal.detail)
        return redirect(back)
    answer = HttpResponse(table.export(ending), content_type=MEDIA_TYPES[ending])
    answer["Content-Disposition"] = f'attachment; filename="{JOBS.file_name(ending)}"'
    guard(answer)
    return answer
