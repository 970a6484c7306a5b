"""The first acts of a day without a network: measuring again, and asking for the plan."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.utils import timezone

from installs.models import Installation, SyncOperation
from surveys.models import FitDecision, Photo, Survey
from tests import factories
from tests.api import signed_in
from tests.installs.queue_sending import results, send
from tests.installs.queue_session import Queue
from tests.pictures import picture, upload

pytestmark = pytest.mark.django_db


@pytest.fixture
def queue():
    """Of a phone whose visit was booked a moment ago."""
    return Queue(timezone.now())


@pytest.fixture
def opening(office, job):
    return factories.opening(office, job)


@pytest.fixture
def measured(office, opening, fitter):
    """The body of a survey before removal, as a phone sends it: without the time of day."""

    def body(stage="before_removal", **otherwise):
        kind = "survey" if stage == "first" else "fitting"
        return {
            "opening": str(opening.pk),
            "visit": str(factories.visit(office, opening.job, kind, fitter).pk),
            "stage": stage,
            "instrument": str(factories.instrument(office).pk),
            "level_instrument": str(factories.instrument(office, **factories.LASER).pk),
            "readings": factories.READINGS,
            "conditions": factories.CONDITIONS,
            **otherwise,
        }

    return body


def test_a_survey_from_the_queue_was_taken_when_its_phone_says_and_comes_once(
    fitter, measured, queue
):
    survey = queue.add("record_survey", str(uuid4()), **measured())
    phone = signed_in(fitter)
    assert results(phone, survey) == ["applied"]
    assert results(phone, survey) == ["already_applied"]
    stored = Survey.objects.get()
    assert (str(stored.pk), stored.surveyor) == (survey["record"], fitter)
    assert stored.taken_at == SyncOperation.objects.get().recorded_at
    assert stored.taken_at.isoformat() == survey["made_at"]


def test_a_phone_whose_clock_is_a_day_ahead_dates_its_survey_rightly(fitter, measured):
    queue = Queue(timezone.now() + timedelta(days=1))
    survey = queue.add("record_survey", str(uuid4()), **measured())
    sent_at = (timezone.now() + timedelta(days=1)).isoformat()
    body = {"operations": [survey], "sent_at": sent_at, "clock_offset_s": -86400}
    (answer,) = signed_in(fitter).post("/api/v1/sync/", body).json()["results"]
    assert answer["result"] == "applied", answer
    taken = Survey.objects.get().taken_at
    assert abs(taken - timezone.now()) < timedelta(minutes=1)
    assert SyncOperation.objects.get().made_at.isoformat() == survey["made_at"]


def test_a_refusal_names_the_reading_as_the_single_endpoint_does(fitter, measured, queue):
    wrong = factories.READINGS | {"diagonals": {"rising": 4.186, "falling": 4186}}
    survey = queue.add("record_survey", str(uuid4()), **measured(readings=wrong))
    (answer,) = send(signed_in(fitter), survey)
    (error,) = answer["problem"]["errors"]
    assert error["pointer"] == "/readings/diagonals/rising"
    assert "looks like metres" in error["detail"]
    assert not Survey.objects.exists()


def test_its_photos_follow_and_keep_when_they_were_taken(fitter, measured, queue):
    survey = queue.add("record_survey", str(uuid4()), **measured())
    send(signed_in(fitter), survey)
    taken = timezone.now() - timedelta(minutes=2)
    answer = signed_in(fitter).post(
        f"/api/v1/surveys/{survey['record']}/photos/",
        {"id": str(uuid4()), "image": upload(picture()), "made_at": taken.isoformat()},
        format="multipart",
    )
    assert answer.status_code == 201, answer.content
    assert Photo.objects.get().recorded_at == taken


@pytest.fixture
def delivered(office, opening):
    """Ordered by a first survey, and here; not measured again."""
    ordered = factories.ordered_doorset(office, opening)
    factories.delivery(office, ordered)
    return ordered


def test_measured_and_planned_without_a_network_it_is_planned_once_there_is_one(
    fitter, delivered, measured, queue
):
    """The verdict is the service's: nobody had one to record when the plan was asked for."""
    body = measured()
    plan = {"doorset": str(delivered.pk), "visit": body["visit"]}
    survey = queue.add("record_survey", str(uuid4()), **body)
    asked = queue.add("plan_fitting", str(uuid4()), **plan)
    again = queue.add("plan_fitting", str(uuid4()), **plan)
    assert results(signed_in(fitter), survey, asked, again) == [
        "applied",
        "applied",
        "already_applied",
    ]
    decision = FitDecision.objects.get(survey_id=survey["record"])
    assert (decision.verdict, decision.doorset) == ("fits", delivered)
    assert str(Installation.objects.get().pk) == asked["record"]


def test_a_frame_that_is_not_shown_to_fit_is_not_planned_and_nothing_of_it_is_kept(
    fitter, delivered, measured, queue
):
    narrow = factories.READINGS | {
        "widths": [{"at": at, "value": 3590} for at in (100, 1050, 2000)],
        "diagonals": {"rising": 4167, "falling": 4167},
    }
    body = measured(readings=narrow)
    survey = queue.add("record_survey", str(uuid4()), **body)
    asked = queue.add("plan_fitting", str(uuid4()), doorset=str(delivered.pk), visit=body["visit"])
    first, second = send(signed_in(fitter), survey, asked)
    assert (first["result"], second["result"]) == ("applied", "refused")
    assert second["problem"]["gate"] == "removal"
    assert not Installation.objects.exists()
