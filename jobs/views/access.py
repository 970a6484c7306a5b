"""Who may open a page, and who is looking at it."""

from collections.abc import Callable
from functools import wraps
from typing import Any, cast

from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django_htmx.http import HttpResponseClientRedirect

from jobs.models import Person

View = Callable[..., HttpResponse]


def page_for(*roles: str) -> Callable[[View], View]:
    """Lets in whoever is signed in and acts in one of the roles; without roles, whoever is signed
    in. Nobody else: sent to sign in, or told (403) that the page is for others.

    What a person sees on the page is another matter: its view starts from `visible_to(person)`.
    """

    def guarded(view: View) -> View:
        @wraps(view)
        def open_page(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
            if not request.user.is_authenticated:
                return lead_to(request, redirect_to_login(_page_asked_for(request)).url)
            if roles and not person_of(request).acts_as(*roles):
                return render(request, "jobs/not_yours.html", {"roles": roles}, status=403)
            return view(request, *args, **kwargs)

        return open_page

    return guarded


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
    """Who is signed in; `page_for` has let nobody else in."""
    return cast(Person, request.user)
