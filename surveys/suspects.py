"""Readings that could be to blame for a contradiction, in the words of the trade."""

from surveys.models import Survey
from surveys.reading_slots import slots_of
from surveys.services.readings import read_size, readings_json


def suspects_of(survey: Survey) -> list[str]:
    """The likeliest first, each by what was read where: `Width 1050 mm above the sill`."""
    slots = slots_of(read_size(survey), readings_json(survey))
    words = {slot.name: slot.exactly for slot in slots}
    return [words[suspect.reading] for suspect in survey.assessment.suspect_readings]
