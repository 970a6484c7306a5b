"""What stands in the table of surveys: a row for each reading."""

from typing import Any

from django.db.models import QuerySet

from jobs.table_file import Table, moment
from surveys.models import Reading


def _readings_of(surveys: QuerySet[Any]) -> QuerySet[Any]:
    newest_first = ("-survey__created_at", "-survey_id", "id")
    return Reading.objects.filter(survey__in=surveys).order_by(*newest_first)


SURVEY_READINGS = Table(
    title="Survey readings",
    columns={
        "Job": lambda reading: reading.survey.opening.job.reference,
        "Opening": lambda reading: reading.survey.opening.name,
        "Stage": lambda reading: reading.survey.get_stage_display(),
        "Taken": lambda reading: moment(reading.survey.taken_at),
        "Surveyor": lambda reading: reading.survey.surveyor.display_name,
        "Instrument": lambda reading: str(reading.survey.instrument),
        "Quantity": lambda reading: reading.get_quantity_display(),
        "Place (mm)": lambda reading: reading.at,
        "Reading (mm)": lambda reading: reading.value,
        "Accepted": lambda reading: moment(reading.survey.accepted_at),
    },
    joined=("survey__opening__job", "survey__surveyor", "survey__instrument"),
    rows_of=_readings_of,
)
