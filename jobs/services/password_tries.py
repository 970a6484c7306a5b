"""How many wrong passwords a name may have before it has to wait.

Counted by the name that was given, whether or not anybody has it: a name of nobody waits alike, so
waiting tells nothing. Counts live in the cache, beside those by address, and are forgotten with a
right password.

While the cache is away nothing can be counted, so no password is looked at: whoever is signed in
works on, and nobody can guess.

Why not django-axes (8.3): it counts after a password was looked at, so guesses that come at once
get past the limit; each wrong one prolongs the life of those before; and adapters for the spelling
of names, the refusal while the cache is away and both answers would be as long as this.
"""

import hashlib
import time
from collections.abc import Iterator
from contextlib import contextmanager
from math import ceil

from django.core.cache import cache
from django.utils.translation import gettext as _
from redis.exceptions import RedisError

from jobs.errors import DomainError, Unavailable

ALLOWED_TRIES = 10
WITHIN_SECONDS = 15 * 60
WAIT_SECONDS = 15 * 60


class NameWaits(DomainError):
    """Too many wrong passwords were given for this name; `seconds` until the next is looked at."""

    def __init__(self, seconds: int) -> None:
        text = _("too many wrong passwords for this name: wait {seconds} s")
        super().__init__(text.format(seconds=seconds))
        self.seconds = seconds


@contextmanager
def _counting() -> Iterator[None]:
    try:
        yield
    except RedisError as gone:
        raise Unavailable(
            _("Nobody can sign in at the moment. If you are signed in, you can work on.")
        ) from gone


@_counting()
def begin_try(name: str) -> None:
    """Count a try for this name before its password is looked at. Raises `NameWaits`, and
    `Unavailable` while nothing can be counted.

    The last allowed try already makes the others wait, so that tries which come at once gain
    nothing; `forget_tries` ends the waiting if it was right.
    """
    tally, now = _tally(name), time.time()
    until: float = cache.get(f"{tally}:until", 0.0)
    if until > now:
        raise NameWaits(ceil(until - now))
    number = _next_number(tally)
    cache.set(f"{tally}:{number}", now, WITHIN_SECONDS)
    first_of_allowed: float = cache.get(f"{tally}:{number - ALLOWED_TRIES + 1}", 0.0)
    if first_of_allowed > now - WITHIN_SECONDS:
        cache.set(f"{tally}:until", now + WAIT_SECONDS, WAIT_SECONDS)


@_counting()
def forget_tries(name: str) -> None:
    """After a right password."""
    tally = _tally(name)
    cache.delete_many([tally, f"{tally}:until"])


def _next_number(tally: str) -> int:
    """Counts from 1; one counter for all processes."""
    if not cache.touch(tally, WITHIN_SECONDS):
        cache.add(tally, 0, WITHIN_SECONDS)
    return int(cache.incr(tally))


def _tally(name: str) -> str:
    """Key of a name: however it is spelt, and nothing that a visitor typed gets into the cache."""
    return "password_tries:" + hashlib.sha256(name.strip().casefold().encode()).hexdigest()
