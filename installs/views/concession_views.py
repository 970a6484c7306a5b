"""Accepting something as it is: what is in the way, what accepting it means, the reason."""

from typing import Any
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from installs.gates import gates_of
from installs.models import Concession, Defect, Installation, PlanStep
from installs.services.concessions import concede
from jobs.capabilities import Capability
from jobs.errors import Blocker
from jobs.models import Person
from jobs.views.access import capability_required, person_of
from jobs.views.forms import RecordForm
from jobs.views.job_views import crumbs_of
from jobs.views.saving import FormPage, typed

# The kinds of records that a blocker which may be conceded is about.
ABOUT: dict[str, Any] = {"installation": Installation, "planstep": PlanStep, "defect": Defect}


class ConcessionForm(RecordForm):
    reason = forms.CharField(
        max_length=500,
        label=gettext_lazy("Why it is accepted"),
        help_text=gettext_lazy(
            "Who agreed to it, and what makes it good enough. It is printed on the certificate, "
            "and cannot be changed afterwards."
        ),
        widget=forms.Textarea(attrs={"rows": 4}),
    )


@capability_required(Capability.CONCEDE)
@require_http_methods(["GET", "POST"])
def grant_concession(
    request: HttpRequest, reference: str, kind: str, pk: UUID, code: str
) -> HttpResponse:
    """`kind` and `pk` are the record that the blocker with this `code` is about; `place` in the
    query is its place there."""
    record = _record(person_of(request), kind, pk)
    installation = record if kind == "installation" else record.installation
    defect = record if kind == "defect" else None
    if installation.job.reference != reference:
        raise Http404
    place = request.GET.get("place", "")
    accepted = _in_the_way(installation, code, place, defect)
    form = ConcessionForm(typed(request))
    page = _page(installation, accepted, draft=f"concession-{code}-{place}-{pk}")
    if form.is_valid() and form.create(
        Concession,
        person_of(request),
        concede,
        installation=installation,
        code=code,
        place=place,
        defect=defect,
        **form.values,
    ):
        return page.leave(request, _("The concession is on record."), "job", reference=reference)
    if not accepted and request.method == "GET":
        messages.info(request, _("This is not in the way any more."))
        return redirect("job", reference=reference)
    return page.show(request, form)


def _page(installation: Installation, accepted: list[Blocker], draft: str) -> FormPage:
    return FormPage(
        title=_("Accept it as it is"),
        crumbs=crumbs_of(installation.job),
        draft=draft,
        button=_("Grant the concession"),
        template="installs/concession.html",
        more={"opening": installation.doorset.opening, "accepted": accepted},
    )


def _record(person: Person, kind: str, pk: UUID) -> Any:
    if kind not in ABOUT:
        raise Http404
    return get_object_or_404(ABOUT[kind].objects.visible_to(person), pk=pk)


def _in_the_way(
    installation: Installation, code: str, place: str, defect: Defect | None
) -> list[Blocker]:
    """What a concession of this code and place accepts, named once."""
    distinct = {
        (blocker.what, blocker.why): blocker
        for blockers in gates_of(installation).values()
        for blocker in blockers
        if (blocker.code, blocker.place) == (code, place) and blocker.concedable
    }
    about = distinct.values()
    return [b for b in about if defect is None or b.record["id"] == str(defect.pk)]
