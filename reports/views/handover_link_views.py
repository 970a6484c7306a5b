"""The handover link that the office or a fitter gives to the customer."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from installs.models import Handover
from jobs.capabilities import Capability
from jobs.errors import Conflict
from jobs.models import Job
from jobs.views.access import capability_required, person_of
from jobs.views.qr import qr_code_svg
from reports.handover_links import LINK_LASTS
from reports.services.handover_links import make_handover_link


@never_cache
@capability_required(Capability.RECORD_FITTING)
@require_http_methods(["GET", "POST"])
def handover_link(request: HttpRequest, reference: str) -> HttpResponse:
    """A new link with each POST, only in its response: it is stored nowhere."""
    person = person_of(request)
    job = get_object_or_404(
        Job.objects.visible_to(person).select_related("customer"), reference=reference
    )
    context = {
        "job": job,
        "handed_over": Handover.objects.filter(job=job).exists(),
        "lasts_days": LINK_LASTS.days,
    }
    if request.method == "POST":
        try:
            link = make_handover_link(actor=person, job=job)
        except Conflict:
            return render(request, "reports/customer_link.html", context, status=409)
        title = _("The link, for the camera of the customer's phone")
        context |= {"link": link, "svg": qr_code_svg(link.address, title)}
    return render(request, "reports/customer_link.html", context)
