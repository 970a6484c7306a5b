"""The defects of a fitting: reported, put right, inspected again."""

from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from installs.defect_places import place_label, places_of, read_place
from installs.drawings.map import map_svg
from installs.models import Defect, Installation
from installs.operations import (
    LEAVE_DEFECT_TO_COME,
    PUT_DEFECT_RIGHT,
    REINSPECT_DEFECT,
    REPORT_DEFECT,
)
from installs.services.still_to_come import until_of
from installs.state import InstallationState
from installs.views.fittings import address_of, fitting_of, show
from installs.views.map_facts import map_of_places
from installs.views.operation_form import OperationForm
from installs.views.photo_forms import PhotoBeside, PhotoForm
from jobs.capabilities import Capability
from jobs.translation import translated
from jobs.views.access import capability_required

SEVERITIES = (
    (Defect.Severity.MINOR, gettext_lazy("minor: it can be seen, and works")),
    (Defect.Severity.MAJOR, gettext_lazy("major: it does not do what it must")),
    (Defect.Severity.CRITICAL, gettext_lazy("critical: it can hurt somebody")),
)


class ReportForm(PhotoBeside):
    operation = REPORT_DEFECT
    button = gettext_lazy("Report this defect")

    def __init__(self, request: HttpRequest, fitting: Installation) -> None:
        own = {"installation": str(fitting.pk)}
        super().__init__(request, about=str(fitting.pk), title=_("A defect"), fixed=own)
        steps = [
            (str(step.pk), f"{step.number}. {translated(step.title)}")
            for step in fitting.steps.order_by("number")
        ]
        where = _("What it is, such as a scratch of 40 mm on the bottom bead.")
        self.add("description", _("What is not in order"), rows=2, help_text=where)
        at = request.GET.get("place", "")
        self.add("place", _("Where on the doorset"), choices=_places(fitting, at), initial=at)
        self.add("severity", _("Severity"), choices=SEVERITIES)
        crew = Defect.Responsible.CREW
        self.add("responsible", _("Who puts it right"), required=True, initial=crew)
        self.add("step", _("At step"), choices=steps, initial=request.GET.get("step"))
        self.add_photo(fitting, "defect")


def _places(fitting: Installation, chosen: str) -> list[tuple[str, str]]:
    """All parts, and `chosen`, which may be one fixing of the map."""
    codes = places_of(fitting.plan)
    if chosen not in codes and read_place(chosen):
        codes.append(chosen)
    return [(code, capfirst(translated(place_label(code)))) for code in codes]


class PutRightForm(OperationForm):
    operation = PUT_DEFECT_RIGHT
    button = gettext_lazy("It is put right")

    def __init__(self, request: HttpRequest, defect: Defect) -> None:
        super().__init__(request, about=str(defect.pk), title=defect.description, changes=defect)
        self.add("how", _("How it was put right"), rows=2)


class LeaveToComeForm(OperationForm):
    operation = LEAVE_DEFECT_TO_COME
    button = gettext_lazy("Leave it to come")

    def __init__(self, request: HttpRequest, defect: Defect) -> None:
        initial = {"until": until_of(defect), "promise": defect.to_come_promise}
        about, title = f"{defect.pk}-to-come", defect.description
        super().__init__(request, about=about, title=title, changes=defect, initial=initial)
        read_out = _("The customer reads this, and signs under it at the handover.")
        self.add("promise", _("What they accept until then, and what will be done"), rows=2)
        self.fields["promise"].help_text = read_out
        self.add("until", _("To be put right by"))


class ReinspectForm(OperationForm):
    operation = REINSPECT_DEFECT
    button = gettext_lazy("Record the inspection")

    def __init__(self, request: HttpRequest, defect: Defect) -> None:
        super().__init__(request, about=str(defect.pk), title=defect.description, changes=defect)
        self.add("accepted", _("Inspected again"), yes=_("in order"), no=_("still not in order"))
        needed = _("Required where it is still not in order: what is wrong.")
        self.add("note", _("Note"), rows=2, help_text=needed)


@capability_required(Capability.RECORD_FITTING)
@require_http_methods(["GET", "POST"])
def defects_page(request: HttpRequest, pk: UUID) -> HttpResponse:
    fitting = fitting_of(request, pk)
    form = ReportForm(request, fitting)
    if stored := form.apply():
        there = address_of(fitting, "fitting-defect", stored.pk)
        return form.kept(_("The defect is on record."), there)
    defects = fitting.defects.select_related("step", "found_by").order_by("-created_at", "-id")
    more: dict[str, Any] = {
        "form": form,
        "map": map_svg(map_of_places(InstallationState(fitting), request.path)),
        "open": defects.open(),
        "closed": defects.exclude(closed_at=None),
    }
    return show(request, "defects.html", fitting, [form], **more)


@capability_required(Capability.RECORD_FITTING)
@require_http_methods(["GET", "POST"])
def defect_page(request: HttpRequest, pk: UUID, defect_pk: UUID) -> HttpResponse:
    fitting = fitting_of(request, pk)
    joined = ("step", "found_by", "put_right_by", "reinspected_by", "found_after", "read_since")
    defect = get_object_or_404(fitting.defects.select_related(*joined), pk=defect_pk)
    here = address_of(fitting, "fitting-defect", defect_pk)
    form, to_come = _next_form(request, defect), _to_come_form(request, defect)
    photo = PhotoForm(request, fitting, about=str(defect.pk), defect=defect)
    forms = [one for one in (form, to_come) if one]
    for sent in forms:
        if sent.apply():
            return sent.kept(_("The defect is updated."), here)
    if photo.keep():
        return photo.kept(_("The photo is saved."), here)
    more = {
        "defect": defect,
        "form": form,
        "to_come": to_come,
        "photo": photo,
        "photos": defect.photos.order_by("created_at"),
        "signed_for": InstallationState(fitting).is_signed_for(defect),
    }
    return show(request, "defect.html", fitting, [photo, *forms], **more)


def _to_come_form(request: HttpRequest, defect: Defect) -> LeaveToComeForm | None:
    """Only what the customer is still to sign for."""
    if defect.closed_at or not defect.is_minor:
        return None
    if InstallationState(defect.installation).is_handed_over:
        return None
    return LeaveToComeForm(request, defect)


def _next_form(request: HttpRequest, defect: Defect) -> OperationForm | None:
    """What comes next for it; nothing once it is closed."""
    if defect.closed_at:
        return None
    return ReinspectForm(request, defect) if defect.put_right_at else PutRightForm(request, defect)
