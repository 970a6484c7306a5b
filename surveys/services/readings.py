"""Readings between the JSON that a surveyor sends and the rows that are stored."""

from collections.abc import Iterator
from typing import Any

from django.utils.translation import gettext as _

from jobs.errors import InvalidField
from jobs.figures import number
from surveys.models import Reading, Survey

# Where the readings of a quantity stand in the JSON, from the outside in.
PLACES = {
    "width": ("widths",),
    "height": ("heights",),
    "diagonal_rising": ("diagonals", "rising"),
    "diagonal_falling": ("diagonals", "falling"),
    "sill_level": ("sill_levels",),
    "head_level": ("head_levels",),
    "plumb_left": ("plumb", "left"),
    "plumb_right": ("plumb", "right"),
}


def reading_rows(survey: Survey, readings: dict[str, Any]) -> list[Reading]:
    """One unsaved row per reading, in the order of the JSON."""
    return [
        Reading(survey=survey, quantity=quantity, at=at, value=value)
        for quantity, _pointer, at, value in _each(readings)
    ]


def readings_json(survey: Survey) -> dict[str, Any]:
    """The readings of a survey with the names of the `opening` in `opening-fit`."""
    found: dict[str, Any] = {
        "widths": [],
        "heights": [],
        "diagonals": {},
        "sill_levels": [],
        "head_levels": [],
        "plumb": {"left": [], "right": []},
    }
    for row in survey.readings.all():
        *outer, last = PLACES[row.quantity]
        holder = found[outer[0]] if outer else found
        if row.at is None:
            holder[last] = row.value
        else:
            holder[last].append({"at": row.at, "value": row.value})
    return found


def refuse_repeated_places(readings: dict[str, Any]) -> None:
    """Raises `InvalidField` for a second reading of one quantity at one place."""
    seen = set()
    for quantity, pointer, at, _value in _each(readings):
        if (quantity, at) in seen:
            message = _("there is a reading at {place} mm already")
            raise InvalidField(
                f"{pointer}/at", message.format(place="" if at is None else number(at))
            )
        seen.add((quantity, at))


def _each(readings: dict[str, Any]) -> Iterator[tuple[str, str, float | None, float]]:
    """Quantity, JSON pointer in a survey's body, place and value of each reading."""
    for quantity, (first, *rest) in PLACES.items():
        given = readings.get(first, {} if rest else [])
        pointer = "/readings/" + first
        for name in rest:
            given, pointer = given.get(name, []), f"{pointer}/{name}"
        if isinstance(given, list):
            for index, reading in enumerate(given):
                yield quantity, f"{pointer}/{index}", reading["at"], reading["value"]
        else:
            yield quantity, pointer, None, given
