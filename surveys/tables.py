"""What stands in the table of surveys: a row for each reading."""

from typing import Any

from django.db.models import QuerySet
from django.utils.translation import gettext_noop as _

from jobs.table_file import Table, moment
from surveys.models import Reading


def _readings_of(surveys: QuerySet[Any]) -> QuerySet[Any]:
    newest_first = ("-survey__created_at", "-survey_id", "id")
    return Reading.objects.filter(survey__in=surveys).order_by(*newest_first)


SURVEY_READINGS = Table(
    title=_("Survey readings"),
    columns={
        _("Job"): lambda reading: reading.survey.opening.job.reference,
        _("Opening"): lambda reading: reading.survey.opening.name,
        _("Stage"): lambda reading: reading.survey.get_stage_display(),
        _("Taken"): lambda reading: moment(reading.survey.taken_at),
        _("Surveyor"): lambda reading: reading.survey.surveyor.display_name,
        _("Instrument"): lambda reading: str(reading.instrument),
        _("Quantity"): lambda reading: reading.get_quantity_display(),
        _("Place (mm)"): lambda reading: reading.at,
        _("Reading (mm)"): lambda reading: reading.value,
        _("Accepted"): lambda reading: moment(reading.survey.accepted_at),
    },
    joined=(
        "survey__opening__job",
        "survey__surveyor",
        "survey__instrument",
        "survey__level_instrument",
        "survey__check_instrument",
        "survey__gap_instrument",
    ),
    rows_of=_readings_of,
)
