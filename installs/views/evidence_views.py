"""Closing a defect on evidence: what was found, what was done, and the photos that show both."""

from typing import Any
from uuid import UUID

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from installs.models import Defect, SitePhoto
from installs.services.defects import close_on_evidence, was_read
from jobs.capabilities import Capability
from jobs.figures import short_moment
from jobs.views.access import capability_required, person_of
from jobs.views.forms import ChangeableForm
from jobs.views.job_views import crumbs_of
from jobs.views.saving import FormPage, typed


class EvidenceForm(ChangeableForm):
    """Which photo shows it before and which after, and what they show."""

    photo_before = forms.ModelChoiceField(
        SitePhoto.objects.none(), label=gettext_lazy("Photo before it was put right")
    )
    photo_after = forms.ModelChoiceField(
        SitePhoto.objects.none(), label=gettext_lazy("Photo after it was put right")
    )
    note = forms.CharField(
        max_length=500,
        label=gettext_lazy("What they show"),
        help_text=gettext_lazy("Why it is in order now. It is printed on the certificate."),
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    def __init__(self, data: Any, defect: Defect) -> None:
        super().__init__(data, initial={"version": defect.version})
        photos = defect.photos.order_by("created_at", "id")
        number = {photo.pk: count for count, photo in enumerate(photos, start=1)}
        for name in ("photo_before", "photo_after"):
            field: Any = self.fields[name]
            field.queryset = photos
            field.label_from_instance = lambda photo: _label(number[photo.pk], photo)
        if was_read(defect):
            self.fields["photo_before"].required = False
            self.fields["photo_before"].help_text = _("The failed reading shows it, too.")


@capability_required(Capability.CONCEDE)
@require_http_methods(["GET", "POST"])
def close_defect(request: HttpRequest, reference: str, pk: UUID) -> HttpResponse:
    person = person_of(request)
    visible = Defect.objects.visible_to(person).select_related(
        "installation__doorset__opening__job", "step", "put_right_by", "inspection"
    )
    of_job = {"installation__doorset__opening__job__reference": reference}
    defect = get_object_or_404(visible, pk=pk, closed_at=None, **of_job)
    form = EvidenceForm(typed(request), defect)
    page = _page(defect)
    if form.is_valid() and form.attempt(
        lambda: close_on_evidence(
            actor=person, defect=defect, expected_version=form.expected_version, **form.values
        )
    ):
        return page.leave(request, _("The defect is closed."), "job", reference=reference)
    return page.show(request, form)


def _page(defect: Defect) -> FormPage:
    return FormPage(
        title=_("Close a defect on evidence"),
        crumbs=crumbs_of(defect.installation.job),
        draft=f"close-defect-{defect.pk}-{defect.version}",
        button=_("Close the defect"),
        template="installs/close_defect.html",
        more={"defect": defect, "photos": defect.photos.order_by("created_at", "id")},
    )


def _label(number: int, photo: SitePhoto) -> str:
    text = _("photo {number}, {moment}").format(
        number=number, moment=short_moment(photo.recorded_at or photo.created_at)
    )
    return f"{text}: {photo.caption}" if photo.caption else text
