"""Times that phones tell: put right by the service's clock, and refused where they cannot be."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs.errors import ClockDisagrees
from jobs.models import Record

# Clocks of phones drift by seconds, as they are set by the network whenever there is one. One that
# is further ahead than this was set by hand, and what it says is no evidence of anything.
FURTHEST_AHEAD = timedelta(minutes=10)
# Longer than any fitting lasts with its return visits; older than this is a clock that was reset.
OLDEST = timedelta(days=90)


@dataclass(frozen=True, slots=True)
class PhoneTime:
    """When something was done, `made_at`, and sent, `sent_at` (None: not told), by the phone's
    clock, which is right with `clock_offset` added."""

    made_at: datetime
    sent_at: datetime | None = None
    clock_offset: timedelta = timedelta()

    @property
    def recorded_at(self) -> datetime:
        """When it was done. What cannot be although the clock is right now was told by a clock that
        was put right since: nobody knows when that was, so it counts as done when it was sent."""
        done_at = _put_right(self.made_at, self.clock_offset)
        if self.sent_at is None:
            return done_at
        sent_at = _put_right(self.sent_at, self.clock_offset)
        is_possible = -FURTHEST_AHEAD <= sent_at - done_at <= OLDEST
        return done_at if is_possible else sent_at

    @property
    def by_a_wrong_clock(self) -> datetime | None:
        """What the phone said, where that was put right."""
        return None if self.made_at == self.recorded_at else self.made_at

    def check(self) -> None:
        """Raises `ClockDisagrees` where the phone's clock said another time than the service's when
        it was sent, and for a time at which nothing can have been done."""
        now = timezone.now()
        if self.sent_at is not None:
            sent_at = _put_right(self.sent_at, self.clock_offset)
            if abs(sent_at - now) > FURTHEST_AHEAD:
                raise ClockDisagrees(_("the clock of this phone is wrong"), now)
        _check_possible(self.recorded_at, now)


def _put_right(time: datetime, offset: timedelta) -> datetime:
    """As it was where it would be beyond all calendars; it is refused then."""
    try:
        return time + offset
    except OverflowError:
        return time


def _check_possible(recorded_at: datetime, now: datetime) -> None:
    if recorded_at > now + FURTHEST_AHEAD:
        minutes = FURTHEST_AHEAD // timedelta(minutes=1)
        raise ClockDisagrees(
            ngettext(
                "it is more than {count} minute ahead",
                "it is more than {count} minutes ahead",
                minutes,
            ).format(count=minutes),
            now,
        )
    if recorded_at < now - OLDEST:
        raise ClockDisagrees(
            ngettext(
                "it is more than {count} day back", "it is more than {count} days back", OLDEST.days
            ).format(count=OLDEST.days),
            now,
        )


def check_since_job(record: Record, recorded_at: datetime) -> None:
    """Raises `ClockDisagrees` for a time before the job of the record was taken on."""
    of_model: Any = type(record)._default_manager
    path = of_model.none().path_to_job
    taken_on = of_model.values_list(f"{path}__created_at", flat=True).get(pk=record.pk)
    if recorded_at < taken_on - FURTHEST_AHEAD:
        raise ClockDisagrees(_("it is before the job was taken on"), timezone.now())
