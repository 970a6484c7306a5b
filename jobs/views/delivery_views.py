"""Deliveries of an ordered doorset, measured and compared with the order."""

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_http_methods

from jobs.api.doorset_serializers import FrameSizeSerializer
from jobs.capabilities import Capability
from jobs.models import Delivery, Doorset, Opening
from jobs.services import doorsets
from jobs.views.access import capability_required, person_of
from jobs.views.forms import RecordForm
from jobs.views.job_views import crumbs_of
from jobs.views.opening_views import opening_of
from jobs.views.quantities import quantity_field
from jobs.views.saving import FormPage, typed

MOST_LEAVES = 40


class DeliveryForm(RecordForm):
    delivered_on = forms.DateField(
        label=_("Day of delivery"),
        initial=timezone.localdate,
        widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}),
    )
    frame_width = quantity_field(FrameSizeSerializer, "width", label=_("Frame width, as measured"))
    frame_height = quantity_field(
        FrameSizeSerializer, "height", label=_("Frame height, as measured")
    )
    leaves_counted = forms.IntegerField(
        min_value=0,
        max_value=MOST_LEAVES,
        label=_("Leaves counted"),
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
    )
    declaration = forms.CharField(
        max_length=120,
        required=False,
        label=_("Declaration of performance, and mark"),
        help_text=_(
            "Its number, and UKCA or CE from the label (Regulation 305/2011, EN 14351-1). Ask the "
            "maker where it did not come along; the certificate names it."
        ),
    )
    accepted = forms.TypedChoiceField(
        choices=[("", _("choose")), ("yes", _("accepted")), ("no", _("not accepted"))],
        coerce=lambda chosen: chosen == "yes",
        label=_("Delivery"),
        help_text=_("What is not accepted has to come again before the old door comes out."),
    )
    damage = forms.CharField(
        max_length=500,
        required=False,
        label=_("Damage, or what is missing"),
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    @property
    def delivery(self) -> dict[str, Any]:
        """As the service takes it."""
        values = dict(self.values)
        frame = {side: values.pop(f"frame_{side}") for side in ("width", "height")}
        return values | {"frame": frame}


@capability_required(Capability.RECORD_FITTING)
@require_http_methods(["GET", "POST"])
def record_delivery(request: HttpRequest, reference: str, number: int) -> HttpResponse:
    opening = opening_of(request, reference, number)
    doorset = _ordered(opening)
    page = FormPage(
        title=gettext("Delivery for opening {number}, {name}").format(
            number=number, name=opening.name
        ),
        crumbs=crumbs_of(opening.job),
        draft=f"delivery-{opening.pk}",
        button=gettext("Record the delivery"),
        template="jobs/delivery.html",
        more={"opening": opening, "doorset": doorset, "deliveries": _earlier(doorset)},
    )
    form = DeliveryForm(typed(request))
    if doorset and form.is_valid():
        values = {"doorset": doorset, **form.delivery}
        delivery = form.create(Delivery, person_of(request), doorsets.record_delivery, **values)
        if delivery:
            message = gettext("The delivery was recorded.")
            return page.leave(request, message, "job", reference=reference)
    return page.show(request, form)


def _ordered(opening: Opening) -> Doorset | None:
    current = opening.doorsets.current().filter(ordered_at__isnull=False)
    doorset: Doorset | None = current.select_related("profile_system").first()
    return doorset


def _earlier(doorset: Doorset | None) -> list[Delivery]:
    return list(doorset.deliveries.all()) if doorset else []
