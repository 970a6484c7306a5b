"""How figures, verdicts and moments are written on papers and pages."""

from datetime import date, datetime
from typing import Any

from django import template
from django.utils import timezone
from django.utils.dateparse import parse_date, parse_datetime

register = template.Library()

# A sign beside the word, so that a verdict is neither colour nor word alone.
SIGNS = {"pass": "✓", "fits": "✓", "fail": "✗", "does_not_fit": "✗", "inconclusive": "?"}
ALMOST_CERTAIN = 0.999


@register.filter
def figure(value: Any) -> str:
    """A number to a tenth at most, as a survey or level can mean it; nothing for None."""
    if value is None or value == "":
        return ""
    return _with_minus(f"{value:.1f}".removesuffix(".0"))


@register.filter
def hundredths(value: Any) -> str:
    """A number to a hundredth, for uncertainties and transmittances."""
    return "" if value is None or value == "" else _with_minus(f"{value:.2f}")


def _with_minus(written: str) -> str:
    nothing = not written.strip("-0.")
    return "0" if nothing else written.replace("-", "\N{MINUS SIGN}")


@register.filter
def probability(value: Any) -> str:
    """Never rounded to a certainty that nobody has."""
    if value is None:
        return ""
    if value > ALMOST_CERTAIN:
        return "over 99.9 %"
    return "under 0.1 %" if value < 1 - ALMOST_CERTAIN else f"{100 * value:.1f} %"


@register.filter
def difference(one: float, other: float) -> str:
    """The absolute difference of two readings, written as a figure."""
    return figure(abs(one - other))


@register.filter
def verdict(word: Any) -> str:
    """The verdict with its sign: `✓ pass`."""
    return f"{SIGNS.get(word, '')} {plain(word)}".strip() if word else ""


@register.filter
def plain(name: Any) -> str:
    """A name of the data in words: `before_removal` as `before removal`."""
    return str(name).replace("_", " ")


@register.filter
def limits(reading: dict[str, Any]) -> str:
    """The limits of a reading in words; `lower`, `upper` may be None, `unit` is written once."""
    lower, upper, unit = reading["lower"], reading["upper"], reading["unit"]
    if lower is None and upper is None:
        return "for the record"
    if lower is None:
        return f"at most {figure(upper)} {unit}"
    if upper is None:
        return f"at least {figure(lower)} {unit}"
    if lower == upper:
        return f"exactly {figure(upper)} {unit}"
    if lower == -upper:
        return f"within ± {figure(upper)} {unit}"
    return f"{figure(lower)} to {figure(upper)} {unit}"


@register.filter
def day(value: Any) -> str:
    """A date, or the firm's day of a moment, from ISO text: `4 March 2026`."""
    found = _moment(value) or (parse_date(value) if isinstance(value, str) else value)
    return f"{found.day} {found:%B %Y}" if isinstance(found, date) else ""


@register.filter
def moment(value: Any) -> str:
    """A moment in the firm's zone, from ISO text: `4 March 2026, 09:30`."""
    found = _moment(value)
    return f"{found.day} {found:%B %Y}, {found:%H:%M}" if found else ""


@register.filter
def short_moment(value: Any) -> str:
    """A moment in the firm's zone where there is little room: `4 Mar 2026, 09:30`."""
    found = _moment(value)
    return f"{found.day} {found:%b %Y}, {found:%H:%M}" if found else ""


def _moment(value: Any) -> datetime | None:
    if isinstance(value, str):
        value = parse_datetime(value) if "T" in value else None
    return timezone.localtime(value) if isinstance(value, datetime) else None
