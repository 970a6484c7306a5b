"""How long what draws its cases is tried: short in the suite, long among the promises.

`python -m pytest --hypothesis-profile long` tries new and many cases, each time others; without it
the same few are tried each time, since a check that all changes must pass decides by nothing else.
"""

from hypothesis import settings

LONG = "long"

# How long an example takes says more about the machine than about the code.
settings.register_profile("short", deadline=None, max_examples=25, derandomize=True, database=None)
settings.register_profile(LONG, deadline=None, max_examples=400)


def short_or_long(short: int, long: int) -> int:
    """How many of something, in the run that this is."""
    return long if settings.get_current_profile_name() == LONG else short
