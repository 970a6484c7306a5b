"""Readings between the JSON that a surveyor sends and the rows that are stored."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from jobs.errors import InvalidField
from jobs.figures import number
from surveys.models import Reading, Survey
from surveys.reading_kinds import Size

# Where readings that are a place and a value stand in the JSON, from the outside in.
PLACES = {
    "width": ("widths",),
    "height": ("heights",),
    "diagonal_rising": ("diagonals", "rising"),
    "diagonal_falling": ("diagonals", "falling"),
    "sill_level": ("sill_levels",),
    "head_level": ("head_levels",),
    "plumb_left": ("plumb", "left"),
    "plumb_right": ("plumb", "right"),
    "check_width": ("checks", "widths"),
    "check_height": ("checks", "heights"),
}


@dataclass(frozen=True, slots=True)
class Given:
    """A reading with its JSON pointer in a survey's body, and the name of its place there."""

    quantity: str
    pointer: str
    at: float | None
    value: float
    place: str = "at"
    of_value: str = "value"

    @property
    def value_pointer(self) -> str:
        """A diagonal is a number by itself."""
        return f"{self.pointer}/{self.of_value}" if self.of_value else self.pointer


def reading_rows(survey: Survey, readings: dict[str, Any]) -> list[Reading]:
    """One unsaved row per reading, in the order of the JSON."""
    return [
        Reading(survey=survey, quantity=given.quantity, at=given.at, value=given.value)
        for given in each(readings)
    ]


def read_size(survey: Survey) -> Size:
    """About how large its opening is: the greatest width and height that were read."""
    readings = readings_json(survey)
    return Size(
        max(reading["value"] for reading in readings["widths"]),
        max(reading["value"] for reading in readings["heights"]),
    )


def readings_json(survey: Survey) -> dict[str, Any]:
    """The readings of a survey with the names of the `opening` in `opening-fit`."""
    readings: dict[str, Any] = {
        "widths": [],
        "heights": [],
        "diagonals": {},
        "sill_levels": [],
        "head_levels": [],
        "plumb": {"left": [], "right": []},
        "straightedge": [],
        "splay": [],
        "checks": {"widths": [], "heights": [], "known_lengths": []},
        "higher_end": survey.higher_end,
    }
    for row in survey.readings.all():
        _put(readings, row)
    return readings


def _put(readings: dict[str, Any], row: Reading) -> None:
    tool, _underscore, side = row.quantity.partition("_")
    if row.quantity == "known_length":
        readings["checks"]["known_lengths"].append({"length": row.at, "value": row.value})
    elif tool == "straightedge":
        readings[tool].append({"side": side, "hump": row.value})
    elif tool == "splay":
        readings[tool].append({"side": side, "at": row.at, "value": row.value})
    else:
        *outer, last = PLACES[row.quantity]
        holder = readings[outer[0]] if outer else readings
        if row.at is None:
            holder[last] = row.value
        else:
            holder[last].append({"at": row.at, "value": row.value})


def refuse_repeated_places(readings: dict[str, Any]) -> None:
    """Raises `InvalidField` for a second reading of one quantity at one place. A straightedge may
    be laid twice: whether its readings agree is for the arithmetic to say."""
    seen = set()
    for given in each(readings):
        reading = given.quantity, given.at
        if reading in seen and not given.quantity.startswith("straightedge"):
            message = _("there is a reading at {place} mm already")
            raise InvalidField(
                f"{given.pointer}/{given.place}",
                message.format(place="" if given.at is None else number(given.at)),
            )
        seen.add(reading)


def each(readings: Mapping[str, Any]) -> Iterator[Given]:
    """Every reading, in the order of the JSON."""
    for quantity, (first, *rest) in PLACES.items():
        given = readings.get(first, {} if rest else [])
        pointer = "/readings/" + first
        for name in rest:
            given, pointer = given.get(name, []), f"{pointer}/{name}"
        if isinstance(given, list):
            for index, reading in enumerate(given):
                yield Given(quantity, f"{pointer}/{index}", reading["at"], reading["value"])
        else:
            yield Given(quantity, pointer, None, given, of_value="")
    yield from _of_walls(readings)


def _of_walls(readings: Mapping[str, Any]) -> Iterator[Given]:
    """What a straightedge, a square and a rule of known length read."""
    for index, laid in enumerate(readings.get("straightedge", ())):
        quantity = f"straightedge_{laid['side']}"
        pointer = f"/readings/straightedge/{index}"
        yield Given(quantity, pointer, None, laid["hump"], of_value="hump")
    for index, read in enumerate(readings.get("splay", ())):
        quantity = f"splay_{read['side']}"
        yield Given(quantity, f"/readings/splay/{index}", read["at"], read["value"])
    known = readings.get("checks", {}).get("known_lengths", ())
    for index, rule in enumerate(known):
        pointer = f"/readings/checks/known_lengths/{index}"
        yield Given("known_length", pointer, rule["length"], rule["value"], "length")
