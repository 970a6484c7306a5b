"""Who may open a page, and who is looking at it."""

from collections.abc import Callable
from functools import wraps
from typing import Any, cast

from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django_htmx.http import HttpResponseClientRedirect

from jobs.capabilities import Capability, roles_with
from jobs.models import Person

View = Callable[..., HttpResponseBase]


def sign_in_required(view: View) -> View:
    """Lets in whoever is signed in; everybody else is sent to sign in."""

    @wraps(view)
    def open_page(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        if not request.user.is_authenticated:
            return lead_to(request, redirect_to_login(_page_asked_for(request)).url)
        return view(request, *args, **kwargs)

    return open_page


def capability_required(capability: Capability) -> Callable[[View], View]:
    """Lets in whoever is signed in and has the capability. Others are sent to sign in, or read
    (403) whose page it is.

    What a person sees on the page is another matter: its view starts from `visible_to(person)`.
    """

    def guarded(view: View) -> View:
        @wraps(view)
        def open_page(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
            if not person_of(request).has_capability(capability):
                return not_yours(request, capability)
            return view(request, *args, **kwargs)

        return sign_in_required(open_page)

    return guarded


def not_yours(request: HttpRequest, capability: Capability) -> HttpResponse:
    """403, with the roles that have what is asked for."""
    context = {"roles": roles_with(capability)}
    return render(request, "jobs/not_yours.html", context, status=403)


def lead_to(request: HttpRequest, address: str) -> HttpResponse:
    """The browser goes there as a whole, even when it asked for a part of a page only: followed
    inside that request, a redirect would put one page into another."""
    if _asks_for_a_part(request):
        return HttpResponseClientRedirect(address)
    return redirect(address)


def _page_asked_for(request: HttpRequest) -> str:
    """Where to go on after signing in: what was asked for, or the page that it is a part of."""
    if _asks_for_a_part(request):
        return request.htmx.current_url_abs_path or "/"  # type: ignore[attr-defined]
    return request.get_full_path()


def _asks_for_a_part(request: HttpRequest) -> bool:
    return bool(getattr(request, "htmx", False))


def person_of(request: HttpRequest) -> Person:
    """Who is signed in; the decorators above let nobody else in."""
    return cast(Person, request.user)
