"""How figures, verdicts and moments are written on papers and pages."""

from typing import Any

from django import template
from django.utils.translation import gettext

from jobs.code_labels import code_label
from jobs.figures import day, figure, hundredths, moment, percent, probability, short_moment
from jobs.translation import translated

register = template.Library()

# A sign beside the word, so that a verdict is neither colour nor word alone.
SIGNS = {"pass": "✓", "fits": "✓", "fail": "✗", "does_not_fit": "✗", "inconclusive": "?"}

for written in (figure, hundredths, percent, probability, day, moment, short_moment):
    register.filter(written)


@register.filter
def difference(reading: float, other: float) -> str:
    """The absolute difference of two readings, written as a figure."""
    return figure(abs(reading - other))


@register.filter
def verdict(word: Any) -> str:
    """The verdict with its sign: `✓ pass`."""
    return f"{SIGNS.get(word, '')} {plain(word)}".strip() if word else ""


@register.filter
def plain(code: Any) -> str:
    """A code in words: `before_removal` as `before removal`."""
    return code_label(code)


@register.filter
def limits(reading: dict[str, Any]) -> str:
    """The limits of a reading in words; `lower`, `upper` may be None, `unit` is written once."""
    return limits_label(reading["lower"], reading["upper"], reading["unit"])


def limits_label(lower: float | None, upper: float | None, unit: str) -> str:
    """The limits of a number in words; the unit is written once."""
    return _limits(lower, upper).format(
        lower=figure(lower), upper=figure(upper), unit=translated(unit)
    )


def _limits(lower: float | None, upper: float | None) -> str:
    if lower is None and upper is None:
        return gettext("for the record")
    if lower is None:
        return gettext("at most {upper} {unit}")
    if upper is None:
        return gettext("at least {lower} {unit}")
    if lower == upper:
        return gettext("exactly {upper} {unit}")
    if lower == -upper:
        return gettext("within ± {upper} {unit}")
    return gettext("{lower} to {upper} {unit}")
