"""Booking a crew for a job, moving and cancelling that."""

from uuid import UUID

from django.contrib import messages
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from jobs.capabilities import Capability
from jobs.code_labels import code_label
from jobs.crew_needs import crew_warnings, needs_of
from jobs.models import Crew, Job, Visit
from jobs.services import diary
from jobs.views.access import capability_required, person_of
from jobs.views.forms import ChangeableForm
from jobs.views.job_views import crumbs_of, job_of
from jobs.views.saving import FormPage, typed
from jobs.views.visit_forms import MoveForm, VisitForm


@capability_required(Capability.BOOK)
@require_http_methods(["GET", "POST"])
def book_visit(request: HttpRequest, reference: str) -> HttpResponse:
    """`?kind=` and `&purpose=` are what the visit is for, where a link knows it."""
    job = job_of(request, reference)
    page = FormPage(
        title=_("Book a visit"),
        crumbs=crumbs_of(job),
        draft=f"visit-{reference}",
        button=_("Book the visit"),
        lead=f"{job.title}, {job.site.one_line}",
        template="jobs/visit_book.html",
        more={
            "job": job,
            "no_crew": not Crew.objects.exists(),
            "needs": needs_of([job])[job.pk],
        },
    )
    known = {name: request.GET.get(name, "") for name in ("kind", "purpose")}
    form = VisitForm(typed(request), initial=known)
    if form.is_valid():
        actor = person_of(request)
        visit = form.create(Visit, actor, diary.book_visit, job=job, **form.values)
        if visit:
            for warning in crew_warnings([visit]).get(visit.pk, []):
                messages.warning(request, warning)
            message = _("{crew} is booked for the {kind} visit.").format(
                crew=visit.crew.name, kind=visit.kind_label
            )
            return page.leave(request, message, "job", reference=reference)
    return page.show(request, form)


@capability_required(Capability.BOOK)
@require_http_methods(["GET", "POST"])
def move_visit(request: HttpRequest, reference: str, pk: UUID) -> HttpResponse:
    """To another time, with the same people."""
    job = job_of(request, reference)
    visit = get_object_or_404(_visits(request, job), pk=pk)
    page = FormPage(
        title=_("Move the {kind} visit of {crew}").format(
            kind=code_label(visit.kind), crew=visit.crew.name
        ),
        crumbs=crumbs_of(job),
        draft=f"visit-{pk}-{visit.version}",
        button=_("Move the visit"),
        lead=_("The same people come at another time."),
    )
    form = MoveForm(typed(request), initial=MoveForm.showing(visit))
    if form.is_valid() and form.attempt(
        lambda: diary.move_visit(
            actor=person_of(request),
            visit=visit,
            expected_version=form.expected_version,
            **form.values,
        )
    ):
        return page.leave(request, _("The visit was moved."), "job", reference=reference)
    return page.show(request, form)


@capability_required(Capability.BOOK)
@require_http_methods(["GET", "POST"])
def end_visit(request: HttpRequest, reference: str, pk: UUID) -> HttpResponse:
    """Asks for confirmation, like cancelling one."""
    job = job_of(request, reference)
    visit = get_object_or_404(_visits(request, job), pk=pk)
    page = FormPage(
        title=_("End the {kind} visit of {crew}?").format(
            kind=code_label(visit.kind), crew=visit.crew.name
        ),
        crumbs=crumbs_of(job),
        draft=f"visit-end-{pk}",
        button=_("End the visit now"),
        lead=_("Its people are free from now on. This cannot be undone."),
    )
    form = ChangeableForm(typed(request), initial={"version": visit.version})
    if form.is_valid() and form.attempt(
        lambda: diary.end_visit(
            actor=person_of(request), visit=visit, expected_version=form.expected_version
        )
    ):
        return page.leave(request, _("The visit is over."), "job", reference=reference)
    return page.show(request, form)


@capability_required(Capability.BOOK)
@require_http_methods(["GET", "POST"])
def cancel_visit(request: HttpRequest, reference: str, pk: UUID) -> HttpResponse:
    """Asks for confirmation: a cancelled visit cannot be restored."""
    job = job_of(request, reference)
    visit = get_object_or_404(_visits(request, job), pk=pk)
    form = ChangeableForm(typed(request), initial={"version": visit.version})
    if form.is_valid() and form.attempt(
        lambda: diary.cancel_visit(
            actor=person_of(request), visit=visit, expected_version=form.expected_version
        )
    ):
        text = _("The {kind} visit was cancelled.").format(kind=code_label(visit.kind))
        messages.success(request, text)
        return redirect("job", reference=reference)
    context = {"job": job, "visit": visit, "form": form, "crumbs": crumbs_of(job)}
    return render(request, "jobs/visit_cancel.html", context, status=400 if form.errors else 200)


def _visits(request: HttpRequest, job: Job) -> QuerySet[Visit]:
    return Visit.objects.visible_to(person_of(request)).filter(job=job).select_related("crew")
