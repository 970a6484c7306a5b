"""The limits of programs, for pages that anybody may open: counted together, by address."""

from math import ceil
from typing import Any, cast

from django.http import HttpRequest

from jobs.api.throttles import ScopedThrottle


class PageThrottle(ScopedThrottle):
    """Whoever is signed in counts like everybody else at the same address."""

    def get_cache_key(self, request: Any, view: Any) -> str:
        return self.cache_format % {"scope": self.scope, "ident": self.get_ident(request)}


def seconds_to_wait(request: HttpRequest, scope: str) -> int:
    """Count this request under one of the scopes of `DEFAULT_THROTTLE_RATES`; 0: it may pass."""
    throttle = PageThrottle()
    if throttle.allow_request(cast(Any, request), cast(Any, _Scope(scope))):
        return 0
    return max(1, ceil(throttle.wait() or 1))


class _Scope:
    """What a throttle wants to know of a view."""

    def __init__(self, scope: str) -> None:
        self.throttle_scope = scope
