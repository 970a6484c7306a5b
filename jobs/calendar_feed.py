"""The visits of a crew as a calendar (iCalendar, RFC 5545).

Whoever has the address reads it, so it says where and when and nothing about the customer: titles
of jobs and notes, in which a name may stand, are left out too.
"""

from datetime import UTC, timedelta

from django.utils import timezone
from icalendar import Calendar, Event

from jobs.models import Crew, Visit

DAYS_LOOKED_BACK = 30
# RFC 7986, section 5.7: how often it is worth asking.
ASK_AGAIN_AFTER = timedelta(hours=1)
LOWEST_PRINTABLE = " "


def crew_calendar(crew: Crew) -> bytes:
    """Every visit that ended at most `DAYS_LOOKED_BACK` ago or is to come, also those cancelled:
    a calendar that has read of one must hear of that."""
    since = timezone.now() - timedelta(days=DAYS_LOOKED_BACK)
    calendar = Calendar()
    calendar.add("prodid", "-//Sillwright//Visits of a crew//EN")
    calendar.add("version", "2.0")
    calendar.add("name", _text(crew.name))
    calendar.add("refresh-interval", ASK_AGAIN_AFTER, parameters={"value": "DURATION"})
    visits = crew.visits.filter(end__gte=since).select_related("job__site").order_by("start", "id")
    for visit in visits:
        calendar.add_component(_event(visit))
    return calendar.to_ical()


def _event(visit: Visit) -> Event:
    """`SEQUENCE` counts from 0 (section 3.8.7.4). Without a `METHOD`, `DTSTAMP` is when the visit
    was last changed (3.8.7.2), so that an unchanged visit reads the same each time."""
    event = Event()
    event.add("uid", str(visit.pk))
    event.add("sequence", visit.version - 1)
    event.add("dtstamp", visit.updated_at.astimezone(UTC))
    event.add("last-modified", visit.updated_at.astimezone(UTC))
    event.add("dtstart", visit.start.astimezone(UTC))
    event.add("dtend", visit.end.astimezone(UTC))
    event.add("summary", f"{visit.get_kind_display()}, {visit.job.reference}")
    event.add("location", _text(visit.job.site.one_line))
    event.add("status", "CANCELLED" if visit.cancelled_at else "CONFIRMED")
    return event


def _text(typed: str) -> str:
    """Without the control characters that no value may hold (3.3.11); lines stay lines."""
    lines = typed.splitlines()
    kept = ("".join(c for c in line if c >= LOWEST_PRINTABLE and c != "\x7f") for line in lines)
    return "\n".join(kept)
