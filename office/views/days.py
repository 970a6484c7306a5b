"""Days as people ask for them in the diary and in lists."""

from datetime import date, datetime, time
from typing import Any

from django import forms
from django.core.validators import MaxValueValidator, MinValueValidator
from django.utils import timezone
from django.utils.text import format_lazy
from django.utils.translation import gettext_lazy as _

# Wide enough for every visit, and far from where the reckoning of days ends.
FIRST, LAST = date(2000, 1, 1), date(2999, 12, 31)
OUTSIDE = format_lazy(
    _("give a day of the years {first} to {last}"), first=FIRST.year, last=LAST.year
)


class DayField(forms.DateField):
    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    default_error_messages = {"invalid": _("give a day, such as 2026-03-04")}

    def __init__(self, **options: Any) -> None:
        bounds = [MinValueValidator(FIRST, OUTSIDE), MaxValueValidator(LAST, OUTSIDE)]
        super().__init__(validators=bounds, **options)


def begin_of(day: date) -> datetime:
    """Midnight before the day, in the firm's zone."""
    return timezone.make_aware(datetime.combine(day, time.min))
