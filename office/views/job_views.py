"""One job: what stands in the way, its openings, its visits, its papers."""

from typing import Any

from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from installs.models import SetAside
from installs.notification import notify_by
from installs.services.lift_plan import access_of
from jobs.arithmetic.doorset import Size
from jobs.capabilities import Capability
from jobs.crew_needs import CrewNeed, crew_warnings, needs_of
from jobs.elevations import drawn
from jobs.models import Doorset, Job, Opening, Visit
from jobs.views.access import capability_required, person_of
from office.blocker_links import Places
from office.labels import set_aside_line
from reports.gates import all_gates
from reports.views.job_documents import documents_of, offers_to
from surveys.plan_drawing import plan_svg
from surveys.services.leaf_space import plan_of


@capability_required(Capability.READ)
@require_GET
def job_page(request: HttpRequest, reference: str) -> HttpResponse:
    person = person_of(request)
    job = _job(request, reference)
    gates = all_gates(job)
    documents = list(documents_of(person, job))
    now, visits = timezone.now(), list(_visits(request, job))
    warnings, needs = crew_warnings(visits), needs_of([job])[job.pk]
    context = {
        "job": job,
        "gates": Places(person, job).of_gates(gates),
        "closed": next((gate for gate, blockers in gates.items() if blockers), None),
        "openings": [_drawn(opening) | _lifted(opening, job, needs) for opening in _openings(job)],
        "visits": visits,
        "crew_warnings": [
            {"visit": visit, "warnings": warnings[visit.pk]}
            for visit in visits
            if visit.end > now and warnings.get(visit.pk)
        ],
        "now": now,
        "notify_by": notify_by(job),
        "set_aside": [
            set_aside_line(kept)
            for kept in SetAside.objects.filter(job=job).select_related("person").reverse()
        ],
        "documents": documents,
        "offers": offers_to(person, job, gates, documents),
    }
    return render(request, "office/job.html", context)


def _job(request: HttpRequest, reference: str) -> Job:
    visible = Job.objects.visible_to(person_of(request))
    return get_object_or_404(
        visible.select_related("customer", "site", "rule_set"), reference=reference
    )


def _visits(request: HttpRequest, job: Job) -> QuerySet[Visit]:
    visible = Visit.objects.visible_to(person_of(request)).not_cancelled().filter(job=job)
    related = ("crew", "job__rule_set")
    return visible.select_related(*related).prefetch_related("people").order_by("start")


def _openings(job: Job) -> QuerySet[Opening]:
    related = ("doorsets__profile_system", "doorsets__installation")
    return job.openings.order_by("number").prefetch_related(*related)


def _lifted(opening: Opening, job: Job, needs: list[CrewNeed]) -> dict[str, Any]:
    """What the doorset of an opening takes to be lifted, and how it gets in: by its plan or, before
    there is one, by what was drafted."""
    doorset = _current(opening)
    if doorset is None:
        return {}
    installation = getattr(doorset, "installation", None)
    size = Size(doorset.frame_width, doorset.frame_height)
    return {
        "needs": [need for need in needs if need.opening == opening.number],
        "access": installation.plan.lifts.access
        if installation
        else access_of(doorset, size, job.rule_set.rules),
    }


def _current(opening: Opening) -> Doorset | None:
    return next((d for d in opening.doorsets.all() if d.superseded_at is None), None)


def _drawn(opening: Opening) -> dict[str, Any]:
    """An opening with the drawing of its current doorset, where it has one."""
    doorset = _current(opening)
    svg = drawn(doorset) if doorset else ""
    plan = plan_svg(plan_of(doorset)) if doorset else ""
    return {"opening": opening, "doorset": doorset, "svg": svg, "plan": plan}
