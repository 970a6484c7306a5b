"""Ordering a doorset: what decides it, what stands in the way, and what can never be undone."""

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from jobs.capabilities import Capability
from jobs.elevations import drawn
from jobs.labels import requirement_labels
from jobs.models import Doorset, Opening
from jobs.services.doorset_rules import requirements_of
from jobs.views.access import capability_required, person_of
from jobs.views.forms import ChangeableForm
from jobs.views.job_views import crumbs_of
from jobs.views.opening_views import opening_of
from jobs.views.saving import FormPage, typed
from surveys.gates import accepted_survey, decision_about, order_gate_of
from surveys.services.orders import order_doorset
from surveys.views.openings import current_doorset

CONFIRM = gettext_lazy(
    "A doorset made to measure cannot be altered or given back. I have checked every figure."
)


class OrderForm(ChangeableForm):
    confirmed = forms.BooleanField(
        label=CONFIRM, error_messages={"required": gettext_lazy("Confirm it before you order.")}
    )


@capability_required(Capability.ORDER)
@require_http_methods(["GET", "POST"])
def order_page(request: HttpRequest, reference: str, number: int) -> HttpResponse:
    opening = opening_of(request, reference, number)
    doorset = current_doorset(opening)
    page = FormPage(
        title=_("Order for opening {number}, {name}").format(number=number, name=opening.name),
        crumbs=crumbs_of(opening.job),
        draft=f"order-{opening.pk}",
        button=_("Order this doorset"),
        template="surveys/order.html",
    )
    shown_version = {"version": doorset.version} if doorset else {}
    form = OrderForm(typed(request), initial=shown_version)
    if doorset and form.is_valid() and form.attempt(lambda: _ordered(request, doorset, form)):
        message = _("Ordered: {fold}, {width} x {height} mm.").format(
            fold=doorset.fold, width=doorset.frame_width, height=doorset.frame_height
        )
        return page.leave(request, message, "job", reference=reference)
    page.more.update(_what_is_ordered(opening, doorset))
    return page.show(request, form)


def _ordered(request: HttpRequest, doorset: Doorset, form: OrderForm) -> Doorset:
    return order_doorset(
        actor=person_of(request), doorset=doorset, expected_version=form.expected_version
    )


def _what_is_ordered(opening: Opening, doorset: Doorset | None) -> dict[str, Any]:
    """The draft with the decision that decides it, and what the order gate says."""
    survey = accepted_survey(opening)
    context: dict[str, Any] = {"opening": opening, "doorset": doorset, "survey": survey}
    context["blockers"] = order_gate_of(opening)
    if doorset:
        size = doorset.frame_width, doorset.frame_height
        context["drawing"] = drawn(doorset)
        context["requirements"] = requirement_labels(requirements_of(doorset))
        context["decision"] = decision_about(survey, doorset, *size) if survey else None
    return context
