"""Typing a survey: who may, what comes filled in, what is refused and where it says so."""

from datetime import timedelta

import pytest
from django.utils import timezone

from jobs.models import Opening
from surveys.models import Survey
from surveys.services.instruments import change_instrument
from surveys.services.orders import order_doorset
from surveys.services.readings import readings_json
from tests import factories
from tests.surveys.survey_pages import address, sound_form

pytestmark = pytest.mark.django_db


@pytest.fixture
def tape(office):
    return factories.instrument(office)


@pytest.fixture
def laser(office):
    return factories.instrument(office, name="Laser", **factories.LASER)


@pytest.fixture
def drafted(office, opening):
    return factories.doorset(office, opening)


@pytest.fixture
def sent(drafted, survey_visit, tape, laser):
    """`sent(name=...)`: the sound form, with some fields typed differently."""
    return lambda **values: sound_form(survey_visit, tape, laser, **values)


@pytest.fixture
def phone(client, surveyor):
    client.force_login(surveyor)
    return client


def errors_of(answer):
    assert answer.status_code == 400
    return answer.context["form"].errors


def test_a_surveyor_stores_a_survey_and_is_led_to_what_it_says(phone, opening, sent, surveyor):
    answer = phone.post(address(opening), sent())
    survey = Survey.objects.get()
    assert answer.url == address(opening, f"surveys/{survey.pk}/")
    assert (survey.surveyor, survey.stage) == (surveyor, "first")
    assert survey.readings.filter(quantity="width").count() == 3
    assert survey.readings.filter(quantity="head_level").count() == 0
    assert survey.conditions["substrate"]["sill"] == "concrete"
    assert survey.conditions["lintel_seen"] is True
    assert "notes" not in survey.conditions


def test_what_straightedge_square_and_second_tape_read_is_stored_with_its_place(
    phone, opening, sent, office
):
    second = factories.instrument(office, name="Second tape")
    more = {
        "straightedge_left_0": "1.5",
        "splay_right_1": "-2",
        "splay_right_1_at": "2000",
        "check_instrument": second.pk,
        "checks_widths_0": "3611",
        "checks_widths_0_at": "1050",
        "surface_left": "plaster",
        "higher_end_sill": "right",
    }
    phone.post(address(opening), sent(**more))
    survey = Survey.objects.get()
    assert [r.value for r in survey.readings.filter(quantity="straightedge_left")] == [1.5]
    assert [(r.at, r.value) for r in survey.readings.filter(quantity="splay_right")] == [(2000, -2)]
    assert survey.readings.get(quantity="check_width").instrument == second
    assert (survey.surfaces, survey.higher_end) == ({"left": "plaster"}, {"sill": "right"})
    again = phone.get(address(opening), {"again": survey.pk}).context["form"]
    assert again["straightedge_left_0"].value() == 1.5
    assert again["splay_right_0_at"].value() == 2000
    assert again["surface_left"].value() == "plaster"


def test_a_reading_that_is_asked_for_has_its_field_at_its_place(phone, opening, sent):
    phone.post(address(opening), sent())
    survey = Survey.objects.get()
    wanted = {"again": survey.pk, "read": "widths", "at": "1430"}
    form = phone.get(address(opening), wanted).context["form"]
    assert form["widths_3_at"].value() == 1430
    assert form["widths_3"].value() is None


def test_pressing_twice_stores_once(phone, opening, sent):
    typed = sent()
    first, second = phone.post(address(opening), typed), phone.post(address(opening), typed)
    assert first.url == second.url
    assert Survey.objects.count() == 1


def test_places_come_filled_in_from_the_drafted_frame_and_can_be_changed(
    phone, opening, office, sent
):
    shown = phone.get(address(opening)).context["form"]
    assert [shown[f"widths_{n}_at"].value() for n in range(3)] == [100, 1050, 2000]
    assert [shown[f"heights_{n}_at"].value() for n in range(3)] == [100, 1800, 3490]
    phone.post(address(opening), sent(heights_1_at="1700"))
    assert Survey.objects.get().readings.filter(quantity="height", at=1700).exists()


def test_an_opening_of_which_nothing_is_known_is_asked_for_its_size_first(
    phone, opening, survey_visit
):
    assert "About how large is it?" in phone.get(address(opening)).content.decode()
    shown = phone.get(address(opening), {"width": "2400", "height": "2000"}).context["form"]
    assert shown["heights_1_at"].value() == 1200
    refused = phone.get(address(opening), {"width": "2.4", "height": "2000"})
    assert "looks like metres" in refused.content.decode()


def test_numbers_on_the_drawing_are_those_beside_the_fields(phone, opening, office, survey_visit):
    factories.doorset(office, opening)
    page = phone.get(address(opening)).content.decode()
    for number, name in ((1, "widths.0"), (7, "diagonals.rising"), (20, "plumb.right.2")):
        field = page.split(f'data-slot="{name}"')[1].split("</label>")[0]
        mark = page.split(f'data-mark="{name}"')[1].split("</g>")[0]
        assert f">{number}</span>" in field
        assert f">{number}</text>" in mark


@pytest.mark.parametrize(
    ("typed", "field", "told"),
    [
        ({"widths_0": "3.612"}, "widths_0", "looks like metres"),
        ({"widths_2": "three"}, "widths_2", "not a number"),
        ({"heights_2_at": "9000"}, "heights_2_at", "outside the opening"),
        ({"widths_1_at": ""}, "widths_1_at", "give the place"),
        ({"widths_1_at": "100"}, "widths_1_at", "already"),
        ({"heights_1": "", "heights_2": ""}, "heights_1", "read at least 2"),
        ({"diagonals_falling": ""}, "diagonals_falling", "required"),
        ({"sill_levels_1": "4000"}, "sill_levels_1", "not possible"),
        ({"level_instrument": ""}, "level_instrument", "need the instrument"),
        ({"outside_drop": "-5"}, "outside_drop", "not possible"),
        ({"asbestos_suspected": ""}, "asbestos_suspected", "choose one"),
        ({"asbestos_cleared": "Report 7"}, "asbestos_cleared", "nothing was suspected"),
        ({"allowances_left": "900"}, "allowances_left", "not possible"),
        ({"taken_at": "2020-01-01T10:00"}, "taken_at", "before the visit"),
        ({"straightedge_left_0": "-1"}, "straightedge_left_0", "not possible"),
        ({"straightedge_head_0": "101"}, "straightedge_head_0", "not possible"),
        ({"splay_left_0": "1", "splay_left_0_at": "5000"}, "splay_left_0_at", "outside"),
        ({"surface_left": "paper"}, "surface_left", "valid choice"),
        (
            {"checks_widths_0": "3611", "checks_widths_0_at": "900"},
            "check_instrument",
            "second instrument",
        ),
    ],
)
def test_what_cannot_be_is_told_beside_its_field_and_nothing_is_stored(
    phone, sent, typed, field, told
):
    form = sent(**typed)
    answer = phone.post(address(Opening.objects.get()), form)
    assert told in " ".join(errors_of(answer)[field])
    assert not Survey.objects.exists()
    assert answer.context["form"]["widths_0"].value() == typed.get("widths_0", "3612")


def test_an_error_points_at_the_field_that_was_typed_where_one_before_it_stayed_empty(
    phone, opening, office, sent
):
    answer = phone.post(address(opening), sent(widths_0="", widths_2="36"))
    assert set(errors_of(answer)) == {"widths_2"}


def test_comma_and_point_are_both_decimal_marks(phone, opening, sent):
    phone.post(address(opening), sent(widths_0="3612,5", sill_levels_1="-0,5"))
    stored = readings_json(Survey.objects.get())
    assert stored["widths"][0]["value"] == 3612.5
    assert stored["sill_levels"][1]["value"] == -0.5


def test_errors_at_the_top_lead_to_their_fields(phone, opening, sent):
    page = phone.post(address(opening), sent(widths_0="3.6", outside_drop="")).content.decode()
    top = page[: page.index("Read with</h2>")]
    assert '<a class="target" href="#id_widths_0">Width near the sill</a>' in top
    assert 'href="#id_outside_drop"' in top


def test_surveys_of_an_opening_lead_to_the_newest_and_to_measure_again_is_its_own_act(
    phone, opening, sent
):
    newest = address(opening, "surveys/")
    assert phone.get(newest).url == address(opening)
    phone.post(address(opening), sent())
    survey = Survey.objects.get()
    assert phone.get(newest).url == address(opening, f"surveys/{survey.pk}/")
    result = phone.get(newest, follow=True).content.decode()
    assert "Measure again from the beginning" in result


def test_a_finish_on_one_side_is_none_on_the_others(phone, opening, office, sent):
    phone.post(address(opening), sent(allowances_left="15", services_in_reveal=["gas"]))
    conditions = Survey.objects.get().conditions
    assert conditions["allowances"] == {"left": 15, "right": 0, "head": 0, "sill": 0}
    assert conditions["services_in_reveal"] == ["gas"]


def test_only_instruments_in_calibration_are_offered_and_the_page_says_why(
    phone, opening, office, tape, sent
):
    yesterday = timezone.localdate() - timedelta(days=1)
    change_instrument(actor=office, instrument=tape, expected_version=1, calibration_due=yesterday)
    page = phone.get(address(opening)).content.decode()
    assert f"Out of calibration, so not offered: {tape}" in page
    assert f'<option value="{tape.pk}"' not in page
    assert "instrument" in errors_of(phone.post(address(opening), sent()))


def test_what_was_read_with_last_time_is_chosen_again(phone, opening, surveyor, survey_visit):
    taken = factories.survey(surveyor, opening, visit=survey_visit)
    shown = phone.get(address(opening)).context["form"]
    assert shown["instrument"].value() == taken.instrument_id
    assert shown["widths_0"].value() is None


def test_reading_again_starts_from_what_was_read(phone, opening, surveyor, survey_visit):
    readings = factories.READINGS | {
        "widths": [{"at": at, "value": 3600 + at / 100} for at in (100, 500, 900, 1300, 1700)]
    }
    taken = factories.survey(surveyor, opening, visit=survey_visit, readings=readings)
    shown = phone.get(address(opening), {"again": taken.pk}).context["form"]
    assert [shown[f"widths_{n}"].value() for n in range(5)] == [3601, 3605, 3609, 3613, 3617]
    assert shown["plumb_left_1_at"].value() == 2100
    assert shown["lintel_seen"].value() == "yes"
    assert phone.get(address(opening), {"again": opening.pk}).status_code == 404


def test_a_survey_of_more_than_three_widths_can_be_sent_again(
    phone, opening, surveyor, survey_visit, sent
):
    more = {"widths_3": "3611", "widths_3_at": "1500"}
    phone.post(address(opening), sent(**more))
    assert Survey.objects.get().readings.filter(quantity="width").count() == 4


def test_a_fitter_measures_before_removal_on_a_fitting_visit(
    client, opening, fitter, fitting_visit, sent
):
    client.force_login(fitter)
    assert client.get(address(opening)).context["stage"] == "before_removal"
    client.post(address(opening), sent(visit=fitting_visit.pk))
    assert Survey.objects.get().stage == "before_removal"
    page = client.get(address(opening), {"stage": "first"}).content.decode()
    assert "no visit of the right kind is booked" in page


def test_the_office_may_take_either_survey_and_is_offered_the_one_that_is_due(
    client, opening, office, survey_visit, fitting_visit
):
    client.force_login(office)
    factories.doorset(office, opening)
    assert client.get(address(opening)).context["stage"] == "first"
    assert client.get(address(opening), {"stage": "before_removal"}).status_code == 200


def test_once_the_doorset_is_ordered_the_survey_before_removal_is_due(
    client, opening, office, survey_visit, fitting_visit
):
    client.force_login(office)
    factories.ordered_doorset(office, opening)
    assert client.get(address(opening)).context["stage"] == "before_removal"


def test_once_the_old_door_may_come_out_the_survey_without_it_is_due(
    client, opening, fitter, fitting_visit, sent
):
    office, drafted = factories.person("office"), opening.doorsets.get()
    factories.fit_decision(office, factories.accepted_survey(office, opening), drafted)
    ordered = order_doorset(actor=office, doorset=drafted, expected_version=1)
    factories.delivery(office, ordered)
    factories.fit_decision(
        office, factories.survey(office, opening, stage="before_removal"), ordered
    )
    client.force_login(fitter)
    shown = client.get(address(opening))
    assert shown.context["stage"] == "after_removal"
    assert "with the old door out" in shown.content.decode()
    client.post(address(opening), sent(visit=fitting_visit.pk))
    assert opening.surveys.get(stage="after_removal").surveyor == fitter


def test_the_survey_without_the_old_door_is_not_offered_before_that_door_may_come_out(
    client, opening, fitter, office, fitting_visit
):
    factories.ordered_doorset(office, opening)
    client.force_login(fitter)
    answer = client.get(address(opening), {"stage": "after_removal"})
    assert "no visit of the right kind" not in answer.content.decode()
    assert "may not come out yet" in answer.content.decode()


def test_without_a_visit_the_page_says_what_to_do_first(client, opening, office):
    client.force_login(office)
    assert "survey visit" in client.get(address(opening)).content.decode()


def test_an_opening_of_somebody_elses_visit_does_not_exist(client, opening, survey_visit):
    client.force_login(factories.person("surveyor"))
    assert client.get(address(opening)).status_code == 404
    client.logout()
    assert client.get(address(opening)).status_code == 302


def test_a_visit_of_somebody_else_is_not_taken(phone, opening, office, sent):
    other = factories.visit(office, opening.job, "survey", factories.person("surveyor"))
    assert "visit" in errors_of(phone.post(address(opening), sent(visit=other.pk)))


def test_the_page_costs_the_same_however_often_it_was_measured(
    phone, opening, surveyor, survey_visit, django_assert_max_num_queries
):
    for _ in range(4):
        factories.survey(surveyor, opening, visit=survey_visit)
    with django_assert_max_num_queries(22):
        phone.get(address(opening))


def test_when_it_was_built_is_asked_once(phone, opening, sent):
    phone.post(address(opening), sent(built="before_2000", safety_led_by="this_firm"))
    form = phone.get(address(opening)).context["form"]
    assert (form["built"].value(), form["safety_led_by"].value()) == ("before_2000", "this_firm")
    assert form["asbestos_suspected"].value() is None
