"""Whether a crew is too small for what it is to lift: said where it is booked and looked at.

Masses are those that tests/checks/test_lift.py works out by hand; from memory: HSE L23, hands low:
two men lift 26.7 kg, three 30 kg, no team more.
"""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs.crew_needs import crew_warnings, needs_of
from tests import factories
from tests.api import signed_in

pytestmark = pytest.mark.django_db

TOO_SMALL = (
    "Opening 1: the crew is too small. 2 are booked, and the frame alone, its sashes taken off "
    "first, about 27 kg, takes 3 people or a lifting aid."
)


@pytest.fixture
def crew(office):
    """Makes a crew of so many fitters."""
    return lambda people: factories.crew(
        office, *(factories.person("fitter") for _ in range(people))
    )


@pytest.fixture
def drafted(office, job):
    """Drafts a 5-5-0 of 3590 x 2100 mm whose system comes as it is given."""

    def draft(opening=None, **order):
        comes = {name: order.pop(name) for name in ("sashes", "glass") if name in order}
        return factories.doorset(
            office,
            opening or factories.opening(office, job),
            profile_system=factories.profile_system(office, **comes),
            **order,
        )

    return draft


def booked(office, job, crew, kind="fitting"):
    return factories.visit(office, job, kind, crew=crew)


def warnings_of(visit):
    return crew_warnings([visit]).get(visit.pk, [])


def needs_of_job(job):
    return [(need.what, round(need.mass, 1), need.people) for need in needs_of([job])[job.pk]]


@pytest.mark.parametrize(
    ("comes", "needs"),
    [
        (
            {},
            [("frame alone, its sashes taken off first", 27.3, 3), ("heaviest pane", 27.9, 3)],
        ),
        (
            {"glass": "fitted"},
            [("frame alone, its sashes taken off first", 27.3, 3), ("heaviest pane", 27.9, 3)],
        ),
        (
            {"sashes": "loose"},
            [("frame alone, without its sashes", 27.3, 3), ("heaviest pane", 27.9, 3)],
        ),
    ],
)
def test_a_job_needs_what_its_doorset_takes_when_taken_apart_as_far_as_it_comes(
    job, drafted, comes, needs
):
    drafted(**comes)
    assert needs_of_job(job) == needs


def test_a_pane_that_no_team_lifts_takes_an_aid_beside_the_people_for_the_rest(job, drafted):
    # By hand: 595.2 x 1878 mm of 6 + 8 + 6 mm at 2.5 kg/m2 and mm are 55.9 kg.
    glass = {"glass": 6, "safety": "toughened"}
    layers = [glass, {"cavity": 12}, glass | {"glass": 8}, {"cavity": 12}, glass]
    drafted(glazing={"layers": layers})
    assert needs_of_job(job) == [
        ("frame alone, its sashes taken off first", 27.3, 3),
        ("heaviest pane", 55.9, None),
    ]


def test_a_crew_that_is_too_small_is_warned_of_and_booked_all_the_same(office, job, drafted, crew):
    drafted()
    assert TOO_SMALL in warnings_of(booked(office, job, crew(2)))
    assert warnings_of(booked(office, job, crew(3))) == []


def test_steps_on_the_way_in_take_more_than_the_flat(office, job, drafted, crew):
    doorset = drafted(sashes="loose")
    conditions = factories.CONDITIONS | {"way_in": {"steps": 3}}
    factories.survey(office, doorset.opening, conditions=conditions)
    [warning, *_] = warnings_of(booked(office, job, crew(3)))
    assert warning.startswith("Opening 1: book a lifting aid with the crew.")


def test_nothing_is_lifted_at_a_survey_or_where_nothing_is_drafted(office, job, drafted, crew):
    fitters = crew(1)
    assert warnings_of(booked(office, job, fitters)) == []
    drafted()
    surveyor = factories.crew(office, factories.person("surveyor"))
    assert warnings_of(booked(office, job, surveyor, "survey")) == []


def test_several_jobs_are_asked_about_at_once(office, crew, django_assert_max_num_queries):
    visits = []
    for _ in range(3):
        job = factories.job(office)
        factories.doorset(office, factories.opening(office, job))
        visits.append(booked(office, job, crew(2)))
    with django_assert_max_num_queries(20):
        warnings = crew_warnings(visits)
    assert all(TOO_SMALL in warnings[visit.pk] for visit in visits)


def test_the_form_says_what_is_lifted_and_the_booking_that_the_crew_is_too_small(
    client, office, job, drafted, crew
):
    drafted()
    client.force_login(office)
    address = reverse("book-visit", args=[job.reference])
    form = client.get(address).content.decode()
    assert "What the fitting lifts" in form
    assert "Opening 1: frame alone, its sashes taken off first, about 27 kg: 3 people or" in form
    assert "never a certificate" in form
    start = timezone.localtime() + timedelta(days=2)
    typed = {
        "id": "6b0f9a3e-1f0a-4b53-9d2e-3c1f6f3f5f10",
        "kind": "fitting",
        "crew": crew(2).pk,
        "start": f"{start:%Y-%m-%dT%H:%M}",
        "end": f"{start + timedelta(hours=4):%Y-%m-%dT%H:%M}",
    }
    answer = client.post(address, typed, follow=True)
    page = answer.content.decode()
    assert job.visits.count() == 1
    # Once as the answer to the booking, and once beside the visit for as long as it is ahead.
    assert page.count(TOO_SMALL) == 2


def test_the_job_page_says_what_each_doorset_takes_and_how_it_gets_in(client, office, job, drafted):
    doorset = drafted()
    client.force_login(office)
    page = client.get(reverse("job", args=[job.reference])).content.decode()
    assert "frame alone, its sashes taken off first, about 27 kg: 3 people or a lifting aid" in page
    assert "not measured yet" in page
    tight = {"way_in": {"corners": [{"before": 900, "after": 1000}]}}
    factories.survey(office, doorset.opening, conditions=factories.CONDITIONS | tight)
    page = client.get(reverse("job", args=[job.reference])).content.decode()
    assert "It does not pass the way in: corner 1" in page


def test_the_diary_says_that_a_crew_is_too_small(client, office, job, drafted, crew):
    drafted()
    visit = booked(office, job, crew(2))
    client.force_login(office)
    page = client.get(reverse("diary"), {"from": f"{timezone.localtime(visit.start):%Y-%m-%d}"})
    assert TOO_SMALL in page.content.decode()


def test_programs_are_told_in_the_answer_to_a_booking_and_by_the_visit(office, job, drafted, crew):
    drafted()
    start = timezone.now() + timedelta(days=2)
    client = signed_in(office)
    body = {
        "job": str(job.pk),
        "kind": "fitting",
        "crew": str(crew(2).pk),
        "start": start.isoformat(),
        "end": (start + timedelta(hours=4)).isoformat(),
    }
    answer = client.post("/api/v1/visits/", body)
    assert answer.status_code == 201
    assert TOO_SMALL in answer.json()["warnings"]
    visit = client.get(f"/api/v1/visits/{answer.json()['id']}/").json()
    assert visit["warnings"] == answer.json()["warnings"]
    assert "warnings" not in client.get("/api/v1/visits/").json()["results"][0]
