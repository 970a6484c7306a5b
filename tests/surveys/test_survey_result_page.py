"""What a survey says on its page: verdict, doubted readings, acceptance, decision."""

import re

import pytest
from django.utils import timezone

from surveys.labels import read_rows
from surveys.models import FitDecision
from tests import factories
from tests.surveys.survey_pages import address

pytestmark = pytest.mark.django_db
TIMES = "\N{MULTIPLICATION SIGN}"


@pytest.fixture
def drafted(office, opening):
    return factories.doorset(office, opening)


@pytest.fixture
def survey(surveyor, opening, survey_visit):
    return factories.survey(surveyor, opening, visit=survey_visit)


@pytest.fixture
def contradictory(surveyor, opening, survey_visit):
    readings = factories.contradictory_readings()
    return factories.survey(surveyor, opening, visit=survey_visit, readings=readings)


@pytest.fixture
def desk(client, office):
    client.force_login(office)
    return client


@pytest.fixture
def phone(client, surveyor):
    client.force_login(surveyor)
    return client


def page_of(survey, action: str = "") -> str:
    return address(survey.opening, f"surveys/{survey.pk}/{action}")


def text_of(client, survey) -> str:
    answer = client.get(page_of(survey))
    assert answer.status_code == 200
    return " ".join(answer.content.decode().split())


def test_without_a_doorset_it_says_what_is_clear(phone, survey):
    text = text_of(phone, survey)
    assert "The readings agree with each other" in text
    assert "there is no frame to decide about" in text
    largest = survey.assessment.largest_frame
    assert f"{largest.width} {TIMES} {largest.height} mm" in text
    assert "Record this decision" not in text


def test_the_verdict_about_the_drafted_frame_stands_there_before_it_is_recorded(
    phone, survey, drafted
):
    text = text_of(phone, survey)
    assert f"A frame of 3590 {TIMES} 2100 mm" in text
    assert re.search(r"that it fits is (over )?99\.\d %; at least 95\.0 % is required", text)
    assert "Opening seen from outside with a frame of 3590 by 2100 mm" in text
    assert "not recorded yet" in text
    assert not FitDecision.objects.exists()


def test_a_decision_is_recorded_once_and_then_shown_as_it_was_frozen(phone, survey, drafted):
    new_id = phone.get(page_of(survey)).context["new_id"]
    for _ in range(2):
        phone.post(page_of(survey, "decide/"), {"id": new_id}, follow=True)
    decision = FitDecision.objects.get()
    assert (decision.doorset, decision.verdict) == (drafted, "fits")
    text = text_of(phone, survey)
    assert "This decision is recorded" in text
    assert "Record this decision" not in text


def test_there_is_nothing_to_decide_without_a_doorset(phone, survey):
    answer = phone.post(page_of(survey, "decide/"), {"id": survey.pk}, follow=True)
    assert "draft one first" in answer.content.decode()
    assert not FitDecision.objects.exists()


def test_a_frame_that_is_too_large_does_not_fit(phone, survey, office, opening):
    factories.doorset(office, opening, frame={"width": 3640, "height": 2100})
    text = text_of(phone, survey)
    assert "does not fit. The probability that it fits is under 0.1 %" in text
    largest = survey.assessment.largest_frame
    told = f"The largest that fits with its joints: {largest.width} \u00d7 {largest.height} mm."
    verdict, rest = text.split("This decision is not recorded yet")
    assert told in verdict
    assert told not in rest


def test_doubted_readings_are_named_pointed_at_and_led_back_to_their_fields(
    phone, contradictory, drafted
):
    text = text_of(phone, contradictory)
    assert "7, Rising diagonal, bottom left to top right" in text
    assert "4816 mm was read" in text
    assert "Two digits swapped would make it 4186 mm" in text
    assert '<g class="suspect" data-mark="diagonals.rising">' in text
    again = f"{address(contradictory.opening)}?again={contradictory.pk}#id_diagonals_rising"
    assert f'href="{again}"' in text
    assert 'id="id_diagonals_rising"' in phone.get(again).content.decode()
    assert "diagonals.rising;" not in text


def test_a_doubted_reading_is_off_by_what_its_sentence_says(contradictory):
    (doubted,) = [row for row in read_rows(contradictory) if row.slot.name == "diagonals.rising"]
    assert doubted.likely == pytest.approx(4816 - (doubted.off or 0))
    assert doubted.likely == pytest.approx(4186, abs=30)


def test_a_contradiction_is_neither_accepted_nor_decided_from_its_page(desk, contradictory):
    text = text_of(desk, contradictory)
    assert "Accept this survey" not in text
    assert "Record this decision" not in text
    sent = {"id": contradictory.opening.pk, "version": contradictory.version}
    answer = desk.post(page_of(contradictory, "accept/"), sent, follow=True)
    assert "contradict each other" in answer.content.decode()
    contradictory.refresh_from_db()
    assert contradictory.accepted_at is None


def test_the_office_accepts_a_first_survey(desk, survey):
    assert "Accept this survey to order by" in text_of(desk, survey)
    sent = {"id": survey.opening.pk, "version": survey.version}
    desk.post(page_of(survey, "accept/"), sent)
    survey.refresh_from_db()
    assert survey.accepted_at
    assert "Accept this survey" not in text_of(desk, survey)


def test_a_stale_page_accepts_nothing_and_says_so(desk, survey):
    sent = {"id": survey.opening.pk, "version": survey.version + 1}
    answer = desk.post(page_of(survey, "accept/"), sent, follow=True)
    assert "Somebody else has changed this" in answer.content.decode()


def test_a_surveyor_does_not_accept(phone, survey):
    assert "Accept this survey" not in text_of(phone, survey)
    assert phone.post(page_of(survey, "accept/")).status_code == 403


def test_before_removal_the_delivered_frame_is_decided_about(client, office, fitter, opening):
    ordered = factories.ordered_doorset(office, opening)
    visit = factories.visit(office, opening.job, "fitting", fitter)
    client.force_login(fitter)
    survey = factories.survey(fitter, opening, stage="before_removal", visit=visit)
    assert "record its delivery first" in text_of(client, survey)
    factories.delivery(office, ordered, frame={"width": 3592, "height": 2100})
    assert f"A frame of 3592 {TIMES} 2100 mm" in text_of(client, survey)


def test_what_was_found_about_the_place_stands_there_with_its_caution(
    phone, surveyor, opening, survey_visit
):
    suspected = factories.CONDITIONS | {"asbestos_suspected": True}
    survey = factories.survey(surveyor, opening, visit=survey_visit, conditions=suspected)
    assert "Stop: do not drill, break, scrape or sweep" in text_of(phone, survey)


def test_a_survey_of_another_opening_or_another_persons_job_does_not_exist(
    client, phone, office, survey
):
    other = factories.opening(office, survey.job)
    assert phone.get(address(other, f"surveys/{survey.pk}/")).status_code == 404
    client.force_login(factories.person("surveyor"))
    for action in ("", "accept/", "decide/"):
        method = client.post if action == "decide/" else client.get
        assert method(page_of(survey, action)).status_code in (403, 404)


def test_the_page_says_when_the_instrument_was_out_of_calibration(
    phone, office, surveyor, opening, survey_visit
):
    old = factories.instrument(office, calibration_due=timezone.localdate().replace(year=2020))
    levels = factories.READINGS | {"sill_levels": [], "plumb": {}}
    survey = factories.survey(
        surveyor, opening, visit=survey_visit, instrument=old, readings=levels
    )
    assert "(out of calibration)" in text_of(phone, survey)


def test_the_page_costs_a_constant_number_of_queries(
    phone, survey, drafted, django_assert_max_num_queries
):
    with django_assert_max_num_queries(20):
        phone.get(page_of(survey))
