from datetime import UTC, datetime, timedelta

import pytest
from django.utils import timezone

from jobs.errors import Conflict, InvalidField
from jobs.models import Visit
from jobs.services.diary import cancel_visit, move_visit
from surveys.models import Survey
from tests import factories

pytestmark = pytest.mark.django_db


def test_a_survey_cannot_be_dated_before_its_visit_was_booked(office, opening):
    """Or an instrument whose calibration ran out would be good again."""
    with pytest.raises(InvalidField, match="before the visit was booked"):
        factories.survey(office, opening, taken_at=timezone.now() - timedelta(days=400))
    assert not Survey.objects.exists()


HOUR = timedelta(hours=1)


@pytest.fixture
def visit(time_machine):
    """Booked on the first of March for nine to eleven on the tenth; it is the evening of that."""
    time_machine.move_to("2026-03-01T08:00:00Z")
    office, surveyor = factories.person("office"), factories.person("surveyor")
    opening = factories.opening(office, factories.job(office))
    start = datetime(2026, 3, 10, 9, tzinfo=UTC)
    booked = factories.visit(
        office, opening.job, "survey", surveyor, start=start, end=start + 2 * HOUR
    )
    time_machine.move_to("2026-03-10T20:00:00Z")
    return booked


def dated(visit, moment):
    surveyor, opening = visit.people.get(), visit.job.openings.get()
    return factories.survey(surveyor, opening, visit=visit, taken_at=moment)


@pytest.mark.parametrize("off", [-8 * 24 * HOUR, -3 * HOUR, 4.5 * HOUR])
def test_a_survey_is_dated_within_its_visit(visit, off):
    """Between booking and visit, an instrument whose calibration ran out would be good again."""
    with pytest.raises(InvalidField, match="not within 120 minutes of the visit"):
        dated(visit, visit.start + off)
    assert not Survey.objects.exists()


@pytest.mark.parametrize("off", [-1.9 * HOUR, HOUR, 3.9 * HOUR])
def test_a_crew_may_come_early_and_stay_late(visit, off):
    survey = dated(visit, visit.start + off)
    visit.refresh_from_db()
    assert visit.began_at == survey.taken_at


def test_a_visit_at_which_something_was_recorded_early_has_begun(office, opening, surveyor):
    visit = factories.visit(office, opening.job, "survey", surveyor)
    factories.survey(office, opening, visit=visit)
    visit.refresh_from_db()
    known = {"actor": office, "visit": visit, "expected_version": visit.version}
    with pytest.raises(Conflict, match="has begun"):
        cancel_visit(**known)
    with pytest.raises(Conflict, match="has begun"):
        move_visit(**known, start=visit.start + HOUR, end=visit.end + HOUR)


def test_a_survey_is_held_against_its_visit_as_it_was_moved_meanwhile(office, opening, surveyor):
    visit = factories.visit(office, opening.job, "survey", surveyor)
    as_read_before = Visit.objects.get(pk=visit.pk)
    later = {"start": visit.start + 24 * HOUR, "end": visit.end + 24 * HOUR}
    move_visit(actor=office, visit=visit, expected_version=1, **later)
    with pytest.raises(InvalidField, match="not within 120 minutes"):
        factories.survey(office, opening, visit=as_read_before)
