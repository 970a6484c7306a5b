"""The list of jobs, searched and narrowed."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from jobs.capabilities import Capability
from jobs.views.access import capability_required, person_of
from jobs.views.lists import one_page
from office.stages import with_their_stages
from office.views.job_filter import JobFilter


@capability_required(Capability.READ)
@require_GET
def job_list(request: HttpRequest) -> HttpResponse:
    """Jobs the person may see, newest first, narrowed as `JobFilter` says."""
    wanted = JobFilter(request.GET, person=person_of(request))
    page = one_page(request, wanted.jobs())
    context = {
        "filter": wanted,
        "asked": _without_place(request),
        **page,
        "records": with_their_stages(page["records"]),
    }
    return render(request, "office/job_list.html", context, status=400 if wanted.errors else 200)


def _without_place(request: HttpRequest) -> str:
    """What is asked for, as the end of an address, whichever page of it is shown."""
    asked = request.GET.copy()
    for name in ("cursor", "page_size"):
        asked.pop(name, None)
    return asked.urlencode()
