"""Without a network: the worker that saves pages on a device, what makes them an app, the queue."""

from django.conf import settings
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.templatetags.static import static
from django.urls import reverse
from django.utils.translation import get_language
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from jobs.capabilities import Capability
from jobs.views.access import capability_required

PAPER, DEEP = "#fcfdfc", "#1c4a4a"


@never_cache
@require_safe
def service_worker(request: HttpRequest) -> HttpResponse:
    """At the root, as a worker answers only for what lies below its own address."""
    context = {
        "static_address": static(""),
        "no_page": _("There is no network, and this page is not saved on this device."),
    }
    return render(request, "installs/service-worker.js", context, content_type="text/javascript")


@require_safe
def web_manifest(request: HttpRequest) -> JsonResponse:
    return JsonResponse(
        {
            "id": "/",
            "name": "Sillwright",
            "short_name": "Sillwright",
            "description": _("Visits, fittings and records of {firm}").format(
                firm=settings.FIRM_NAME
            ),
            "lang": get_language(),
            "start_url": reverse("today"),
            "scope": "/",
            "display": "standalone",
            "background_color": PAPER,
            "theme_color": DEEP,
            "icons": [
                _icon("icon.svg", "any", "image/svg+xml"),
                _icon("icon-192.png", "192x192", "image/png"),
                _icon("icon-512.png", "512x512", "image/png"),
                _icon("icon-512.png", "512x512", "image/png") | {"purpose": "maskable"},
            ],
        },
        content_type="application/manifest+json",
    )


@require_safe
def offline_page(request: HttpRequest) -> HttpResponse:
    """Shown by the worker in place of a page that is not saved on the device."""
    return render(request, "installs/offline.html")


@capability_required(Capability.MEASURE)
@require_safe
def queue_page(request: HttpRequest) -> HttpResponse:
    """The records on this device; a script on it fills the page in."""
    return render(request, "installs/queue.html")


def _icon(name: str, sizes: str, media_type: str) -> dict[str, str]:
    return {"src": static(f"installs/{name}"), "sizes": sizes, "type": media_type}
