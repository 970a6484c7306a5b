"""How numbers, moments and days are written for people: on pages, papers, letters and in tables."""

from datetime import date, datetime
from typing import Any

from django.utils import timezone
from django.utils.dateformat import format as write_date
from django.utils.dateparse import parse_date, parse_datetime
from django.utils.formats import get_format
from django.utils.translation import gettext

ALMOST_CERTAIN = 0.999
ALMOST_ALL = 0.99
# As `django.utils.dateformat` reads them; the names of months come from the catalogue.
DAY, MOMENT, SHORT_MOMENT = "j F Y", "j F Y, H:i", "j M Y, H:i"


def number(value: float, form: str = "g") -> str:
    """A number in the middle of a sentence, formatted as `form` asks."""
    return format(value, form).replace(".", get_format("DECIMAL_SEPARATOR"))


def figure(value: Any) -> str:
    """A number to a tenth at most, as a survey or level can mean it; nothing for None."""
    if value is None or value == "":
        return ""
    return _localised(f"{value:.1f}".removesuffix(".0"))


def hundredths(value: Any) -> str:
    """A number to a hundredth, for uncertainties and transmittances."""
    return "" if value is None or value == "" else _localised(f"{value:.2f}")


def probability(value: Any) -> str:
    """Never rounded to a certainty that nobody has."""
    if value is None:
        return ""
    if value > ALMOST_CERTAIN:
        return gettext("over {percent} %").format(percent=_localised("99.9"))
    if value < 1 - ALMOST_CERTAIN:
        return gettext("under {percent} %").format(percent=_localised("0.1"))
    return gettext("{percent} %").format(percent=_localised(f"{100 * value:.1f}"))


def percent(value: Any) -> str:
    """A probability that is good to a few percent; never rounded to a certainty either."""
    if value is None:
        return ""
    if value > ALMOST_ALL:
        return gettext("over {percent} %").format(percent=_localised("99"))
    if value < 1 - ALMOST_ALL:
        return gettext("under {percent} %").format(percent=_localised("1"))
    return gettext("{percent} %").format(percent=_localised(f"{100 * value:.0f}"))


def day(value: Any) -> str:
    """A date, or the firm's day of a moment, from ISO text too: `4 March 2026`."""
    on = _moment(value) or (parse_date(value) if isinstance(value, str) else value)
    return write_date(on, DAY) if isinstance(on, date) else ""


def moment(value: Any) -> str:
    """A moment in the firm's zone, from ISO text too: `4 March 2026, 09:30`."""
    at = _moment(value)
    return write_date(at, MOMENT) if at else ""


def short_moment(value: Any) -> str:
    """A moment in the firm's zone where there is little room: `4 Mar 2026, 09:30`."""
    at = _moment(value)
    return write_date(at, SHORT_MOMENT) if at else ""


def _localised(number: str) -> str:
    """With a minus sign instead of a hyphen, and the decimal separator of the language."""
    nothing = not number.strip("-0.")
    if nothing:
        return "0"
    return number.replace("-", "\N{MINUS SIGN}").replace(".", get_format("DECIMAL_SEPARATOR"))


def _moment(value: Any) -> datetime | None:
    if isinstance(value, str):
        value = parse_datetime(value) if "T" in value else None
    return timezone.localtime(value) if isinstance(value, datetime) else None
