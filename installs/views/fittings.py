"""The fitting that a page is about, and the addresses of its parts."""

from collections.abc import Sequence
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _

from installs.models import Installation
from installs.views.operation_form import SiteForm
from jobs.views.access import person_of
from jobs.views.saving import Crumb


def fitting_of(request: HttpRequest, pk: UUID) -> Installation:
    """404 for a fitting that is not the person's to see."""
    visible = Installation.objects.visible_to(person_of(request))
    job = "doorset__opening__job"
    related = ("rule_set", "doorset__profile_system", f"{job}__site", f"{job}__customer")
    return get_object_or_404(visible.select_related(*related), pk=pk)


def address_of(fitting: Installation, name: str = "fitting", *more: Any) -> str:
    """Address of a page of this fitting, or of one of its parts."""
    return reverse(name, args=(fitting.pk, *more))


def crumbs_of(fitting: Installation) -> list[Crumb]:
    job = fitting.job
    opening = fitting.doorset.opening
    return [
        Crumb(_("Today"), reverse("today")),
        Crumb(
            _("{reference}, opening {number}").format(
                reference=job.reference, number=opening.number
            ),
            address_of(fitting),
        ),
    ]


def show(
    request: HttpRequest,
    template: str,
    fitting: Installation,
    forms: Sequence[SiteForm] = (),
    **more: Any,
) -> HttpResponse:
    """A page of a fitting; 400 where one of its forms is refused."""
    context = {"fitting": fitting, "crumbs": crumbs_of(fitting), **more}
    refused = any(form.errors for form in forms)
    return render(request, f"installs/{template}", context, status=400 if refused else 200)
