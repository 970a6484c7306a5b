"""What of a survey is recorded on site, where there may be no network."""

from jobs.capabilities import Capability
from jobs.journal_types import JournalType
from jobs.operations import Operation
from surveys.api.serializers import SurveyCreateSerializer, SurveySerializer
from surveys.services.surveys import record_survey

RECORD_SURVEY = Operation(
    "record_survey",
    JournalType.SURVEY_RECORDED,
    body=SurveyCreateSerializer,
    service=record_survey,
    record=SurveySerializer,
    capability=Capability.MEASURE,
)
