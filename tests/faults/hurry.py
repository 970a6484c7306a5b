"""Waits of seconds in place of minutes, so that a study of many faults ends today.

What is waited for stays the same: the order of steps, the locks and the number of tries.
"""

from datetime import timedelta

SECOND = timedelta(seconds=1)


def hurry() -> None:
    """For this process, once Django is set up."""
    from reports.services import backoff, delivering, making  # noqa: PLC0415

    making.HEAD_START = 2 * SECOND
    delivering.ATTEMPT_LASTS = 3 * SECOND
    # With so many refusals in a row as a study makes, the twelfth is no reason to give up.
    delivering.MOST_ATTEMPTS = 1000
    backoff.WAITS, backoff.LONGEST_WAIT = (), SECOND
