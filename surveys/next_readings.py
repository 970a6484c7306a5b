"""What an answer asks to be read next, put as the act that somebody does with a tool in hand."""

from dataclasses import dataclass
from typing import Literal
from urllib.parse import urlencode

from django.utils.translation import gettext_lazy

from jobs.figures import number
from jobs.translation import Text, translated
from surveys.arithmetic.answers import ReadNext
from surveys.models import Survey
from surveys.reading_kinds import KINDS
from surveys.reading_slots import Wanted, slot_wanted, slots_of
from surveys.services.readings import read_size, readings_json

Side = Literal["left", "right", "head", "sill", "all"]
OF_A_SIDE: dict[str, dict[str, Text]] = {
    "straightedge": {
        "left": gettext_lazy("Lay the straightedge along the left jamb"),
        "right": gettext_lazy("Lay the straightedge along the right jamb"),
        "head": gettext_lazy("Lay the straightedge along the head"),
        "sill": gettext_lazy("Lay the straightedge along the sill"),
    },
    "splay": {
        "left": gettext_lazy("Hold the square at the left reveal, at its foot and head"),
        "right": gettext_lazy("Hold the square at the right reveal, at its foot and head"),
        "head": gettext_lazy("Hold the square at the head, at both ends"),
        "sill": gettext_lazy("Hold the square at the sill, at both ends"),
        "all": gettext_lazy("Hold the square at the reveal, once round: jambs, head and sill"),
    },
    "plumb": {
        "left": gettext_lazy("Hold a plumb line to the left jamb: foot, middle and head"),
        "right": gettext_lazy("Hold a plumb line to the right jamb: foot, middle and head"),
    },
    "level": {
        "sill": gettext_lazy("Read the level of the sill at both ends and in the middle"),
        "head": gettext_lazy("Read the level of the head at both ends and in the middle"),
    },
    "higher_end": {
        "sill": gettext_lazy("Look which end of the sill is higher"),
        "head": gettext_lazy("Look which end of the head is higher"),
    },
}
WITHOUT_SIDE: dict[str, Text] = {
    "width": gettext_lazy("Read the width {at} mm above the sill"),
    "height": gettext_lazy("Read the height {at} mm from the left jamb"),
    "diagonals": gettext_lazy("Read both diagonals again"),
    "check": gettext_lazy("Read one width with a second instrument, or a rule of known length"),
}


@dataclass(frozen=True, slots=True)
class Act:
    """`probability`: how probably it settles the verdict alone; `query` and `field` lead to where
    its reading is typed."""

    words: str
    why: str
    probability: float
    query: str
    field: str


def acts(survey: Survey, read_next: tuple[ReadNext, ...]) -> list[Act]:
    """The one that most probably settles it first, as it was answered."""
    return [_act(survey, reading) for reading in read_next]


def act_label(reading: ReadNext) -> str:
    """`Lay the straightedge along the left jamb`."""
    by_side = OF_A_SIDE.get(reading.kind, {})
    words = by_side.get(reading.side or "all") or WITHOUT_SIDE.get(reading.kind)
    if words is None:
        return reading.kind.replace("_", " ")
    return str(words).format(at=number(reading.at or 0))


def _act(survey: Survey, reading: ReadNext) -> Act:
    wanted = _wanted(reading)
    given = {"again": survey.pk, "read": wanted.kind}
    if wanted.at is not None:
        given["at"] = number(wanted.at)
    return Act(
        words=act_label(reading),
        why=translated(reading.why),
        probability=reading.probability_settles,
        query=urlencode(given),
        field=_field(survey, reading, wanted),
    )


def _field(survey: Survey, reading: ReadNext, wanted: Wanted) -> str:
    if reading.kind == "higher_end":
        return f"higher_end_{reading.side or 'sill'}"
    slots = slots_of(read_size(survey), readings_json(survey), wanted=wanted)
    slot = slot_wanted(slots, wanted)
    return slot.field if slot else "instrument"


def _wanted(reading: ReadNext) -> Wanted:
    side = reading.side or ""
    first = "left" if side in ("", "all") else side
    kind = {
        "width": "widths",
        "height": "heights",
        "diagonals": "diagonals.rising",
        "level": f"{side}_levels",
        "check": "checks.widths",
    }.get(reading.kind, f"{reading.kind}.{first}")
    return Wanted(kind, reading.at if kind in KINDS else None)
