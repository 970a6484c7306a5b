from datetime import timedelta

import pytest
from django.utils import timezone

from jobs.errors import Conflict, InvalidField
from jobs.models import Visit
from tests import factories
from tests.api import pointers, signed_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def office():
    return factories.person("office")


@pytest.fixture
def fitter():
    return factories.person("fitter")


def tomorrow(hour: int):
    return (timezone.now() + timedelta(days=1)).replace(hour=hour, minute=0)


def test_a_crew_is_not_booked_twice_and_the_answer_names_the_other_visit(office, fitter):
    crew = factories.crew(office, fitter)
    times = {"crew": crew, "start": tomorrow(8), "end": tomorrow(12)}
    first = factories.visit(office, factories.job(office), "fitting", **times)
    with pytest.raises(Conflict) as refusal:
        factories.visit(office, factories.job(office), "fitting", **times)
    assert refusal.value.record["id"] == str(first.pk)
    assert Visit.objects.count() == 1


def test_a_person_is_not_booked_twice_through_two_crews(office, fitter):
    times = {"start": tomorrow(8), "end": tomorrow(12)}
    factories.visit(office, factories.job(office), "fitting", fitter, **times)
    with pytest.raises(Conflict, match="Robin"):
        factories.visit(office, factories.job(office), "fitting", fitter, **times)


def test_visits_may_follow_each_other_without_a_gap(office, fitter):
    crew, job = factories.crew(office, fitter), factories.job(office)
    factories.visit(office, job, "fitting", crew=crew, start=tomorrow(8), end=tomorrow(12))
    factories.visit(office, job, "fitting", crew=crew, start=tomorrow(12), end=tomorrow(16))
    assert Visit.objects.count() == 2


def test_a_cancelled_visit_frees_its_people(office, fitter):
    crew, job = factories.crew(office, fitter), factories.job(office)
    times = {"crew": crew, "start": tomorrow(8), "end": tomorrow(12)}
    visit = factories.visit(office, job, "fitting", **times)
    answer = signed_in(office).post(
        f"/api/v1/visits/{visit.pk}/cancel/", headers={"If-Match": '"1"'}
    )
    assert answer.status_code == 200
    factories.visit(office, job, "fitting", **times)


def test_a_visit_needs_somebody_of_its_role(office, fitter):
    with pytest.raises(InvalidField, match=r"has a role that a survey visit needs: surveyor"):
        factories.visit(office, factories.job(office), "survey", fitter)


def test_a_visit_in_the_past_is_refused_and_not_stored(office, fitter):
    body = {
        "job": str(factories.job(office).pk),
        "kind": "fitting",
        "crew": str(factories.crew(office, fitter).pk),
        "start": "2020-03-02T08:00:00Z",
        "end": "2020-03-02T12:00:00Z",
    }
    assert pointers(signed_in(office).post("/api/v1/visits/", body)) == ["/start"]
    assert not Visit.objects.exists()


def test_a_moved_visit_may_overlap_where_it_stood_itself(office, fitter):
    visit = factories.visit(
        office,
        factories.job(office),
        "fitting",
        fitter,
        start=tomorrow(8),
        end=tomorrow(12),
    )
    answer = signed_in(office).patch(
        f"/api/v1/visits/{visit.pk}/",
        {"end": tomorrow(13).isoformat()},
        headers={"If-Match": '"1"'},
    )
    assert answer.status_code == 200
    assert answer["ETag"] == '"2"'


def test_a_fitter_sees_own_fitting_visits_only(office, fitter):
    own = factories.visit(office, factories.job(office), "fitting", fitter)
    factories.visit(office, factories.job(office), "fitting", factories.person("fitter"))
    seen = signed_in(fitter).get("/api/v1/visits/").json()["results"]
    assert [visit["id"] for visit in seen] == [str(own.pk)]


def test_a_running_visit_may_be_lengthened_but_not_cancelled(office, fitter, time_machine):
    time_machine.move_to("2026-03-02T07:00:00Z")
    soon = timezone.now() + timedelta(minutes=5)
    visit = factories.visit(
        office, factories.job(office), "fitting", fitter, start=soon, end=tomorrow(12)
    )
    time_machine.move_to("2026-03-02T09:00:00Z")
    client, path = signed_in(office), f"/api/v1/visits/{visit.pk}/"
    longer = client.patch(path, {"end": tomorrow(16).isoformat()}, headers={"If-Match": '"1"'})
    assert longer.status_code == 200, longer.content
    assert client.post(f"{path}cancel/", headers={"If-Match": '"2"'}).status_code == 409


def under_way(office, fitter, time_machine):
    """A visit that began an hour ago."""
    time_machine.move_to("2026-03-02T07:00:00Z")
    soon = timezone.now() + timedelta(minutes=5)
    visit = factories.visit(
        office, factories.job(office), "fitting", fitter, start=soon, end=tomorrow(12)
    )
    time_machine.move_to("2026-03-02T08:05:00Z")
    return visit


def test_a_visit_under_way_is_neither_moved_nor_cancelled_but_ended(office, fitter, time_machine):
    visit = under_way(office, fitter, time_machine)
    client, path = signed_in(office), f"/api/v1/visits/{visit.pk}/"
    later = {"start": tomorrow(9).isoformat()}
    assert client.patch(path, later, headers={"If-Match": '"1"'}).status_code == 409
    assert client.post(f"{path}cancel/", headers={"If-Match": '"1"'}).status_code == 409
    ended = client.post(f"{path}end/", headers={"If-Match": '"1"'})
    assert ended.status_code == 200, ended.content
    assert ended.json()["ended_at"] == ended.json()["end"]
    for deed in ("cancel/", "end/"):
        assert client.post(path + deed, headers={"If-Match": '"2"'}).status_code == 409
    again = {"end": tomorrow(16).isoformat()}
    assert client.patch(path, again, headers={"If-Match": '"2"'}).status_code == 409


def test_a_visit_that_is_ended_frees_its_people(office, fitter, time_machine):
    visit = under_way(office, fitter, time_machine)
    signed_in(office).post(f"/api/v1/visits/{visit.pk}/end/", headers={"If-Match": '"1"'})
    start = timezone.now() + timedelta(minutes=1)
    factories.visit(office, factories.job(office), "fitting", fitter, start=start)


def test_a_visit_that_has_not_begun_is_not_ended(office, fitter):
    visit = factories.visit(office, factories.job(office), "fitting", fitter)
    answer = signed_in(office).post(f"/api/v1/visits/{visit.pk}/end/", headers={"If-Match": '"1"'})
    assert answer.status_code == 409
    assert "cancel it" in answer.json()["detail"]


def test_a_visit_is_cancelled_once(office, fitter):
    visit = factories.visit(office, factories.job(office), "fitting", fitter)
    client, path = signed_in(office), f"/api/v1/visits/{visit.pk}/cancel/"
    assert client.post(path, headers={"If-Match": '"1"'}).status_code == 200
    assert client.post(path, headers={"If-Match": '"2"'}).status_code == 409


def test_a_slip_in_the_year_does_not_book_a_crew_for_good(office, fitter):
    with pytest.raises(InvalidField, match="31 days at most"):
        factories.visit(
            office,
            factories.job(office),
            "fitting",
            fitter,
            start=tomorrow(8),
            end=tomorrow(8) + timedelta(days=4000),
        )


def test_visits_are_narrowed_by_a_time_in_whatever_zone(office, fitter):
    visit = factories.visit(office, factories.job(office), "fitting", fitter)
    client = signed_in(office)
    # Further from UTC than any zone is; PostgreSQL takes none beyond 16 hours.
    begins = visit.start.astimezone(timezone.get_fixed_timezone(timedelta(hours=18, minutes=25)))
    visits = client.get("/api/v1/visits/", {"start__gte": begins.isoformat()}).json()["results"]
    assert [listed["id"] for listed in visits] == [str(visit.pk)]
    later = (begins + timedelta(seconds=1)).isoformat()
    assert client.get("/api/v1/visits/", {"start__gte": later}).json()["results"] == []


@pytest.mark.parametrize("moment", ["9999-12-31T23:59:59-23:59", "0001-01-01T00:00:00+14:00"])
def test_a_time_beyond_the_calendar_is_named(office, moment):
    answer = signed_in(office).get("/api/v1/visits/", {"start__gte": moment})
    assert pointers(answer) == ["/start__gte"]
