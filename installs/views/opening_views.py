"""Leaving an opening out of its job, and taking it up again."""

from django import forms
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from installs.services.leaving_out import leave_out, take_up_again
from jobs.capabilities import Capability
from jobs.models import Opening
from jobs.views.access import capability_required, person_of
from jobs.views.forms import ChangeableForm
from jobs.views.job_views import crumbs_of
from jobs.views.opening_views import opening_of
from jobs.views.saving import FormPage, typed


class LeavingOutForm(ChangeableForm):
    reason = forms.CharField(
        max_length=300,
        label=gettext_lazy("Why it is left out"),
        widget=forms.Textarea(attrs={"rows": 3}),
    )


@capability_required(Capability.MANAGE_JOBS)
@require_http_methods(["GET", "POST"])
def leave_opening_out(request: HttpRequest, reference: str, number: int) -> HttpResponse:
    """Of one that is left out already, the page takes it up again."""
    opening = opening_of(request, reference, number)
    kind = ChangeableForm if opening.left_out_at else LeavingOutForm
    form = kind(typed(request), initial={"version": opening.version})
    page = _page(opening)
    if form.is_valid() and form.attempt(lambda: _changed(request, opening, form)):
        return page.leave(request, _("The change is saved."), "job", reference=reference)
    return page.show(request, form)


def _page(opening: Opening) -> FormPage:
    if opening.left_out_at:
        title, button = _("Take opening {number} up again?"), _("Take it up again")
        lead = _("It is surveyed, ordered and fitted with the job.")
    else:
        title, button = _("Leave opening {number} out?"), _("Leave it out")
        lead = _(
            "Its records stay, and nothing waits for it any more. Where its doorset is on order, "
            "cancel that with its maker yourself."
        )
    return FormPage(
        title=title.format(number=opening.number),
        crumbs=crumbs_of(opening.job),
        draft=f"opening-out-{opening.pk}-{opening.version}",
        button=button,
        lead=lead,
    )


def _changed(request: HttpRequest, opening: Opening, form: ChangeableForm) -> Opening:
    version, actor = form.expected_version, person_of(request)
    if opening.left_out_at:
        return take_up_again(actor=actor, opening=opening, expected_version=version)
    reason = form.cleaned_data["reason"]
    return leave_out(actor=actor, opening=opening, expected_version=version, reason=reason)
