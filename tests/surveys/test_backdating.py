from datetime import timedelta

import pytest
from django.utils import timezone

from jobs.errors import InvalidField
from surveys.models import Survey
from tests import factories

pytestmark = pytest.mark.django_db


def test_a_survey_cannot_be_dated_before_its_visit_was_booked(office, opening):
    """Or an instrument whose calibration ran out would be good again."""
    with pytest.raises(InvalidField, match="before the visit was booked"):
        factories.survey(office, opening, taken_at=timezone.now() - timedelta(days=400))
    assert not Survey.objects.exists()
