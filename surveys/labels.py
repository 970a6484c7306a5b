"""A survey put into words for its page: readings with their suspects, shape, uncertainty."""

from collections.abc import Iterator
from dataclasses import dataclass

from surveys.arithmetic.answers import Shape, Uncertain
from surveys.models import Survey
from surveys.reading_slots import Slot, likely_swap, slots_of
from surveys.services.readings import read_size, readings_json
from surveys.shape_words import SHAPE_LABELS, shape_label

# Two standard uncertainties: about 19 of 20 sizes lie within.
COVERAGE = 2
# So near to what the others say, a swap of two digits explains the reading; mm.
SWAP_WITHIN = 6.0


@dataclass(frozen=True, slots=True)
class ReadRow:
    """A reading as it was taken, and what the others say where it is a suspect; mm. What a
    straightedge or square reads is no sum of the sides, so it is off nothing by itself."""

    slot: Slot
    residual: float | None
    likely: float | None = None
    swapped: float | None = None

    @property
    def off(self) -> float | None:
        """From what the others say: the adjusted opening, or what a suspect should have been. Of a
        suspect the adjustment itself says little, since it bends to it."""
        if self.likely is None or self.slot.value is None:
            return self.residual
        return self.slot.value - self.likely

    @property
    def field(self) -> str:
        """The id of its field where it is read again."""
        return f"id_{self.slot.field}"


def read_rows(survey: Survey) -> list[ReadRow]:
    """Every reading that was taken, in the order of its number."""
    residuals = {
        residual.reading: residual.residual for residual in survey.assessment.adjustment.residuals
    }
    likely = {
        suspect.reading: suspect.likely_value for suspect in survey.assessment.suspect_readings
    }
    taken = slots_of(read_size(survey), readings_json(survey))
    return [
        _row(slot, slot.value, residuals.get(slot.name), likely.get(slot.name))
        for slot in taken
        if slot.value is not None
    ]


def _row(slot: Slot, value: float, residual: float | None, likely: float | None) -> ReadRow:
    swapped = None if likely is None else likely_swap(value, likely, SWAP_WITHIN)
    return ReadRow(slot, residual, likely, swapped)


def suspects_in_order(survey: Survey, rows: list[ReadRow]) -> list[ReadRow]:
    """The likeliest to blame first."""
    by_name = {row.slot.name: row for row in rows}
    suspects = (suspect.reading for suspect in survey.assessment.suspect_readings)
    return [by_name[name] for name in suspects if name in by_name]


def shape_labels(shape: Shape) -> Iterator[tuple[str, str]]:
    """`Sill, left to right`, `falls 3 mm`; what rounds to nothing is true."""
    for name in SHAPE_LABELS:
        yield shape_label(name, getattr(shape, name))


def expanded(size: Uncertain) -> dict[str, float]:
    """A clear size with its expanded uncertainty, mm."""
    return {"value": size.value, "either_way": COVERAGE * size.standard_uncertainty}
