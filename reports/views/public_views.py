"""Pages for whoever holds a paper or a link, without signing in."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.conf import settings
from django.http import HttpRequest
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.views.decorators.cache import never_cache

from jobs.views.rate_limit import seconds_to_wait

SCOPE = "verification"
View = Callable[..., HttpResponseBase]


def public_page(view: View) -> View:
    """Counted together with the verification of programs, so that guessing is slow whichever way it
    goes; kept in no cache and not indexed by search engines."""

    @never_cache
    @wraps(view)
    def open_page(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        if seconds := seconds_to_wait(request, SCOPE):
            context = {"seconds": seconds, "firm": firm()}
            response: HttpResponseBase = render(
                request, "reports/customer_wait.html", context, status=429
            )
            response["Retry-After"] = str(seconds)
        else:
            response = view(request, *args, **kwargs)
        response["X-Robots-Tag"] = "noindex,nofollow"
        return response

    return open_page


def firm() -> dict[str, str]:
    """How to reach the firm, as its papers say."""
    return {
        "name": settings.FIRM_NAME,
        "telephone": settings.FIRM_TELEPHONE,
        "email": settings.FIRM_EMAIL,
    }
