"""The list of jobs, and one job: what stands in the way, its openings, its papers."""

from typing import Any, cast
from uuid import UUID, uuid4

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.db.models import Prefetch, Q, QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_POST
from rest_framework.exceptions import ValidationError
from rest_framework.request import Request

from jobs.api.paging import NewestFirst
from jobs.drawings import Elevation, elevation_svg
from jobs.identity import Identity, created_once
from jobs.models import Doorset, Job, Opening, Person, Role
from jobs.refusals import Conflict, GateClosed
from reports.gates import all_gates
from reports.models import Dispatch, Document
from reports.papers.drawn import elevation_facts
from reports.services.documents import issue_certificate

LONGEST_SEARCH = 80


@login_required
@require_GET
def job_list(request: HttpRequest) -> HttpResponse:
    """Jobs the person may see, newest first; `?q=` looks in reference, title, customer, town."""
    wanted = request.GET.get("q", "").replace("\x00", "").strip()[:LONGEST_SEARCH]
    pages = NewestFirst()
    try:
        jobs = pages.paginate_queryset(_jobs(request, wanted), Request(request))
    except ValidationError as unreadable:
        raise Http404 from unreadable
    shown = {
        "jobs": jobs,
        "wanted": wanted,
        "newer": pages.get_previous_link(),
        "older": pages.get_next_link(),
    }
    return render(request, "reports/job_list.html", shown)


@login_required
@require_GET
def job_page(request: HttpRequest, reference: str) -> HttpResponse:
    job = _job(request, reference)
    gates = all_gates(job)
    visits = job.visits.visible_to(_person(request)).standing().select_related("crew")
    shown = {
        "job": job,
        "gates": gates,
        "closed": next((gate for gate, blockers in gates.items() if blockers), None),
        "openings": [_drawn(opening) for opening in _openings(job)],
        "documents": _papers(request, job),
        "visits": visits.order_by("start"),
        "may_ask": _person(request).acts_as(Role.OFFICE) and not gates["certificate"],
        "new_id": uuid4(),
    }
    return render(request, "reports/job.html", shown)


def _papers(request: HttpRequest, job: Job) -> QuerySet[Document]:
    """Papers of a job, each with its letters to the customer, which the office sees."""
    letters = Dispatch.objects.visible_to(_person(request))
    shown = Prefetch("dispatches", queryset=letters, to_attr="letters")
    return job.documents.visible_to(_person(request)).prefetch_related(shown)


@login_required
@require_POST
def ask_for_certificate(request: HttpRequest, reference: str) -> HttpResponse:
    """The form on the job page; its hidden `id` makes pressing twice harmless."""
    job = _job(request, reference)
    if not _person(request).acts_as(Role.OFFICE):
        return HttpResponse("Only the office asks for papers.", status=403)
    try:
        document, _ = created_once(Document, *_asked(request, job))
    except (Conflict, GateClosed) as refusal:
        messages.warning(request, str(refusal))
    else:
        messages.success(request, f"{document} is being made and will be mailed.")
    return redirect("job", reference=reference)


def _asked(request: HttpRequest, job: Job) -> tuple[Identity, Any]:
    identity = Identity.of(_uuid(request.POST.get("id", "")), {"job": str(job.pk)})
    return identity, lambda: issue_certificate(actor=_person(request), identity=identity, job=job)


def _person(request: HttpRequest) -> Person:
    """Who is signed in; every page here asks for that first."""
    return cast(Person, request.user)


def _uuid(given: str) -> UUID | None:
    try:
        return UUID(given)
    except ValueError:
        return None


def _jobs(request: HttpRequest, wanted: str) -> QuerySet[Job]:
    jobs = Job.objects.visible_to(_person(request)).select_related("customer", "site")
    if not wanted:
        return jobs
    return jobs.filter(
        Q(reference__icontains=wanted)
        | Q(title__icontains=wanted)
        | Q(customer__name__icontains=wanted)
        | Q(site__town__icontains=wanted)
    )


def _job(request: HttpRequest, reference: str) -> Job:
    visible = Job.objects.visible_to(_person(request))
    return get_object_or_404(
        visible.select_related("customer", "site", "rule_set"), reference=reference
    )


def _openings(job: Job) -> QuerySet[Opening]:
    return job.openings.order_by("number").prefetch_related("doorsets__profile_system")


def _drawn(opening: Opening) -> dict[str, Any]:
    """An opening with the drawing of its current doorset, where it has one."""
    standing = (d for d in opening.doorsets.all() if d.superseded_at is None)
    doorset: Doorset | None = next(standing, None)
    svg = elevation_svg(Elevation.read(elevation_facts(doorset))) if doorset else ""
    return {"opening": opening, "doorset": doorset, "svg": svg}
