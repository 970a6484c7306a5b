"""Who may open a page, and who is looking at it."""

from collections.abc import Callable
from functools import wraps
from typing import Any, cast

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from jobs.models import Person

View = Callable[..., HttpResponse]


def page_for(*roles: str) -> Callable[[View], View]:
    """Lets in whoever is signed in and acts in one of the roles; without roles, whoever is signed
    in. Nobody else: sent to sign in, or told (403) that the page is for others.

    What a person sees on the page is another matter: its view starts from `visible_to(person)`.
    """

    def guarded(view: View) -> View:
        @login_required
        @wraps(view)
        def open_page(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
            if roles and not person_of(request).acts_as(*roles):
                return render(request, "jobs/not_yours.html", {"roles": roles}, status=403)
            return view(request, *args, **kwargs)

        return open_page

    return guarded


def person_of(request: HttpRequest) -> Person:
    """Who is signed in; `page_for` has let nobody else in."""
    return cast(Person, request.user)
