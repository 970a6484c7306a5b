"""How long to wait before trying again."""

from datetime import timedelta

# Most faults pass within minutes, the rest within a working day.
WAITS = tuple(timedelta(minutes=m) for m in (1, 5, 15, 60, 240))
LONGEST_WAIT = timedelta(hours=6)
# No transaction of the service runs anywhere near as long.
TRANSACTION_LASTS = timedelta(minutes=10)


def wait_after(attempts: int) -> timedelta:
    """The time between the failed attempt number `attempts` (from 1) and the next."""
    return WAITS[attempts - 1] if attempts <= len(WAITS) else LONGEST_WAIT
