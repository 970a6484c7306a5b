"""How many requests are answered.

The counts live in the cache. While it is away, requests pass uncounted: the limits keep the load
down, and a fitter's readings are worth more than a limit. Wrong passwords are another matter; see
`jobs/services/password_tries.py`.
"""

import logging
from typing import Any

from redis.exceptions import RedisError
from rest_framework.throttling import AnonRateThrottle, ScopedRateThrottle, UserRateThrottle

log = logging.getLogger(__name__)


class UncountedOnErrorMixin:
    """Mixed into a throttle, in front of it."""

    def allow_request(self, request: Any, view: Any) -> bool:
        try:
            return bool(super().allow_request(request, view))  # type: ignore[misc]
        except RedisError:
            log.error("the cache does not answer: a request passed uncounted")
            return True


class UserThrottle(UncountedOnErrorMixin, UserRateThrottle):
    pass


class AnonThrottle(UncountedOnErrorMixin, AnonRateThrottle):
    pass


class ScopedThrottle(UncountedOnErrorMixin, ScopedRateThrottle):
    pass
