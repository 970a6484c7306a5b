"""The defects of a fitting: found, put right, looked at again."""

from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_http_methods

from installs.models import Defect, Installation
from installs.operations import PUT_DEFECT_RIGHT, REINSPECT_DEFECT, REPORT_DEFECT
from installs.views.fittings import address_of, fitting_of, show
from installs.views.operation_form import OperationForm
from installs.views.photo_forms import PhotoForm
from jobs.capabilities import Capability
from jobs.views.access import capability_required

SEVERITIES = (
    (Defect.Severity.MINOR, "minor: it can be seen, and works"),
    (Defect.Severity.MAJOR, "major: it does not do what it must"),
    (Defect.Severity.CRITICAL, "critical: it can hurt somebody"),
)


class ReportForm(OperationForm):
    operation = REPORT_DEFECT
    button = "Report this defect"

    def __init__(self, request: HttpRequest, fitting: Installation) -> None:
        own = {"installation": str(fitting.pk)}
        super().__init__(request, about=str(fitting.pk), title="A defect", fixed=own)
        steps = [(str(step.pk), str(step)) for step in fitting.steps.order_by("number")]
        found_at = request.GET.get("step")
        where = "What, and where on the doorset."
        self.add("description", "What is not as it must be", rows=2, help_text=where)
        self.add("severity", "How bad it is", choices=SEVERITIES)
        crew = Defect.Responsible.CREW
        self.add("responsible", "Whose work it is to put right", required=True, initial=crew)
        self.add("step", "Found at", choices=steps, initial=found_at)


class PutRightForm(OperationForm):
    operation = PUT_DEFECT_RIGHT
    button = "It is put right"

    def __init__(self, request: HttpRequest, defect: Defect) -> None:
        super().__init__(request, about=str(defect.pk), title=defect.description, changes=defect)
        self.add("how", "How it was put right", rows=2)


class ReinspectForm(OperationForm):
    operation = REINSPECT_DEFECT
    button = "Record what was found"

    def __init__(self, request: HttpRequest, defect: Defect) -> None:
        super().__init__(request, about=str(defect.pk), title=defect.description, changes=defect)
        self.add("accepted", "Looked at again", yes="it is as it must be", no="it is still wrong")
        self.add("note", "Note", rows=2, help_text="Needed where it is still wrong: what is.")


@capability_required(Capability.RECORD_FITTING)
@require_http_methods(["GET", "POST"])
def defects_page(request: HttpRequest, pk: UUID) -> HttpResponse:
    fitting = fitting_of(request, pk)
    form = ReportForm(request, fitting)
    if stored := form.apply():
        there = address_of(fitting, "fitting-defect", stored.pk)
        return form.kept("The defect is on record. Add a photo of it.", there)
    found = fitting.defects.select_related("step", "found_by").order_by("-created_at", "-id")
    more: dict[str, Any] = {
        "form": form,
        "open": found.open(),
        "closed": found.exclude(closed_at=None),
    }
    return show(request, "defects.html", fitting, [form], **more)


@capability_required(Capability.RECORD_FITTING)
@require_http_methods(["GET", "POST"])
def defect_page(request: HttpRequest, pk: UUID, defect_pk: UUID) -> HttpResponse:
    fitting = fitting_of(request, pk)
    people = ("step", "found_by", "put_right_by", "reinspected_by")
    defect = get_object_or_404(fitting.defects.select_related(*people), pk=defect_pk)
    here = address_of(fitting, "fitting-defect", defect_pk)
    form = _next_form(request, defect)
    photo = PhotoForm(request, fitting, about=str(defect.pk), defect=defect)
    if form and form.apply():
        return form.kept("The defect's record is up to date.", here)
    if photo.keep():
        return photo.kept("The photo is kept.", here)
    more = {
        "defect": defect,
        "form": form,
        "photo": photo,
        "photos": defect.photos.order_by("created_at"),
    }
    return show(request, "defect.html", fitting, [photo, *([form] if form else [])], **more)


def _next_form(request: HttpRequest, defect: Defect) -> OperationForm | None:
    """What comes next for it; nothing once it is closed."""
    if defect.closed_at:
        return None
    return ReinspectForm(request, defect) if defect.put_right_at else PutRightForm(request, defect)
