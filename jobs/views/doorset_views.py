"""The doorset of an opening: drawn and worked out while it is typed, then drafted."""

from typing import Any

from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from jobs.capabilities import Capability
from jobs.elevations import drawn
from jobs.labels import limit_labels
from jobs.models import Doorset, Opening, ProfileSystem
from jobs.services import doorsets
from jobs.services.doorset_rules import requirements_of, try_out
from jobs.views.access import capability_required, person_of
from jobs.views.doorset_forms import DoorsetForm
from jobs.views.job_views import crumbs_of
from jobs.views.opening_views import opening_of
from jobs.views.saving import FormPage


@capability_required(Capability.MANAGE_JOBS)
@require_http_methods(["GET", "POST"])
def doorset_page(request: HttpRequest, reference: str, number: int) -> HttpResponse:
    """A draft is changed, an ordered doorset followed by a revision; `draw` stores nothing."""
    opening = opening_of(request, reference, number)
    current = _current(opening)
    page = _page(opening, current)
    if request.method == "GET":
        page.more.update(worked_out(current) if current else {})
        return page.show(request, _form(request, initial=_shown_first(opening, current)))
    drawing_only = "draw" in request.POST
    form = _form(request, data=request.POST, only_drawn=drawing_only)
    if form.is_valid() and not drawing_only and (draft := _save(request, form, opening)):
        message = _(
            "Saved as a draft: {doorset}. You can order it once a survey shows that it fits."
        )
        message = message.format(doorset=draft)
        return page.leave(request, message, "job", reference=reference)
    page.more.update(_tried_out(opening, _form(request, data=request.POST, only_drawn=True)))
    return page.show(request, form)


@capability_required(Capability.MANAGE_JOBS)
@require_POST
def draw_doorset(request: HttpRequest, reference: str, number: int) -> HttpResponse:
    """What follows from the fields as they are typed: a part of the page."""
    opening = opening_of(request, reference, number)
    form = _form(request, data=request.POST, only_drawn=True)
    context = {"form": form, **_tried_out(opening, form)}
    return render(request, "jobs/doorset/redrawn.html", context)


def worked_out(doorset: Doorset) -> dict[str, Any]:
    """What a page shows of a doorset's calculation."""
    requirements = requirements_of(doorset)
    asked = {name for requirement in requirements for name in requirement.asks}
    return {
        "opening": doorset.opening,
        "doorset": doorset,
        "drawing": drawn(doorset),
        "calculation": doorset.calculation,
        "limits": limit_labels(doorset.calculation, doorset.profile_system, requirements),
        "asks_of_opening": asked - {"energy_band", "security_evidence"},
    }


def _tried_out(opening: Opening, form: DoorsetForm) -> dict[str, Any]:
    """The same of what is typed; where it cannot be worked out, the form that says why."""
    if form.is_valid():
        doorset = form.attempt(lambda: try_out(opening, form.upstand, **form.order))
        if doorset:
            return worked_out(doorset)
    return {"missing": form}


def _current(opening: Opening) -> Doorset | None:
    current = opening.doorsets.current().select_related("profile_system", "opening__job__rule_set")
    doorset: Doorset | None = current.first()
    return doorset


def _page(opening: Opening, current: Doorset | None) -> FormPage:
    draft = f"{current.pk}-{current.version}" if current else "new"
    ordered = current is not None and current.ordered_at is not None
    accepted = current is not None and current.deliveries.filter(accepted=True).exists()
    return FormPage(
        title=_("Doorset for opening {number}, {name}").format(
            number=opening.number, name=opening.name
        ),
        crumbs=crumbs_of(opening.job),
        draft=f"doorset-{opening.pk}-{draft}",
        button=_("Save as a new revision") if ordered else _("Save as a draft"),
        template="jobs/doorset/page.html",
        more={"opening": opening, "current": current, "accepted": accepted},
    )


def _form(request: HttpRequest, data: QueryDict | None = None, **options: Any) -> DoorsetForm:
    systems = ProfileSystem.objects.visible_to(person_of(request)).order_by("name")
    return DoorsetForm(data, systems=systems, **options)


def _shown_first(opening: Opening, current: Doorset | None) -> dict[str, Any]:
    """The draft or what was ordered; for a first one, all but its size from the job's newest."""
    if current:
        version = {} if current.ordered_at else {"version": current.version}
        return DoorsetForm.showing(current) | version
    others = Doorset.objects.filter(opening__job=opening.job).current()
    if other := others.first():
        size = ("fold", "frame_width", "frame_height")
        return {k: v for k, v in DoorsetForm.showing(other).items() if k not in size}
    return {}


def _save(request: HttpRequest, form: DoorsetForm, opening: Opening) -> Doorset | None:
    """A form with a version changes the draft that it showed; one without drafts anew."""
    person = person_of(request)
    if not form.expected_version:
        order = {"opening": opening, **form.order}
        return form.create(Doorset, person, doorsets.draft_doorset, **order)
    draft = _current(opening)
    if draft is None:
        return None
    return form.attempt(
        lambda: doorsets.change_doorset(
            actor=person, doorset=draft, expected_version=form.expected_version, **form.order
        )
    )
