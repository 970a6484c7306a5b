"""Every change before a doorset is measured says in the journal what it was."""

from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone

from jobs.idempotency import IdempotencyKey
from jobs.services import catalogue, crew_calendars, diary, doorsets, jobs, seals, second_factor
from tests import factories
from tests.journal import types_written_by

pytestmark = pytest.mark.django_db


@pytest.fixture
def office():
    return factories.person("office")


@pytest.fixture
def job(office):
    return factories.job(office)


def changed(service, actor, /, **record_and_changes):
    return lambda: service(actor=actor, expected_version=1, **record_and_changes)


def test_people_and_rule_sets():
    assert types_written_by(factories.person) == ["person.added"]
    assert set(types_written_by(catalogue.load_shipped_rule_sets)) == {"rule_set.loaded"}


def test_a_person_changed_by_the_administrator(office):
    administrator = factories.person("office")
    administrator.is_staff = administrator.is_superuser = True
    administrator.save()
    browser = Client()
    browser.force_login(administrator)
    address = f"/admin/jobs/person/{office.pk}/change/"
    page = browser.get(address).context
    forms = [page["adminform"].form, page["inline_admin_formsets"][0].formset.management_form]
    body = {
        field.html_name: field.value()
        for form in forms
        for field in form
        if field.value() is not None
    }
    body |= {
        "first_name": "Somebody",
        "role_records-TOTAL_FORMS": 0,
        "role_records-INITIAL_FORMS": 0,
    }
    joined = body.pop("date_joined")
    body |= {"date_joined_0": f"{joined:%Y-%m-%d}", "date_joined_1": f"{joined:%H:%M:%S}"}
    body.pop("last_login", None)
    assert types_written_by(lambda: browser.post(address, body)) == ["person.changed"]


def test_customer_site_job_and_opening(office):
    assert types_written_by(lambda: factories.job(office))[-3:] == [
        "customer.added",
        "site.added",
        "job.taken_on",
    ]


def test_changes_of_customer_site_job_and_opening(office, job):
    opening = factories.opening(office, job)
    for entry_type, change in {
        "customer.changed": changed(
            jobs.change_customer, office, customer=job.customer, name="Another"
        ),
        "site.changed": changed(jobs.change_site, office, site=job.site, town="Quarryford"),
        "job.changed": changed(jobs.change_job, office, job=job, title="Kitchen wall"),
        "opening.changed": changed(jobs.change_opening, office, opening=opening, name="Side"),
    }.items():
        assert types_written_by(change) == [entry_type]


def test_a_profile_system_and_a_doorset_until_it_is_superseded(office, job):
    opening = factories.opening(office, job)
    assert types_written_by(lambda: factories.doorset(office, opening)) == [
        "profile_system.added",
        "doorset.drafted",
    ]
    doorset = opening.doorsets.get()
    system = doorset.profile_system
    assert types_written_by(
        changed(
            catalogue.change_profile_system, office, profile_system=system, name="Another system"
        )
    ) == ["profile_system.changed"]
    assert types_written_by(
        changed(doorsets.change_doorset, office, doorset=doorset, colour_inside="slate")
    ) == ["doorset.changed"]


def test_a_revision_supersedes_the_doorset_that_was_ordered(office, job):
    ordered = factories.ordered_doorset(office, factories.opening(office, job))
    assert types_written_by(lambda: factories.doorset(office, ordered.opening)) == [
        "profile_system.added",
        "doorset.superseded",
        "doorset.drafted",
    ]


def test_a_delivery(office, job):
    ordered = factories.ordered_doorset(office, factories.opening(office, job))
    assert types_written_by(lambda: factories.delivery(office, ordered)) == ["delivery.recorded"]


def test_a_crew_and_its_calendar(office):
    assert types_written_by(lambda: factories.crew(office)) == ["crew.added"]
    crew = factories.crew(office)
    assert types_written_by(changed(diary.change_crew, office, crew=crew, name="Others")) == [
        "crew.changed"
    ]
    assert types_written_by(
        lambda: crew_calendars.give_out_calendar(actor=office, crew=crew, expected_version=2)
    ) == ["crew_calendar.issued"]
    assert types_written_by(
        lambda: crew_calendars.end_calendar(actor=office, crew=crew, expected_version=3)
    ) == ["crew_calendar.revoked"]


def test_a_visit_from_its_booking_to_its_end(office, job):
    surveyor = factories.person("surveyor")
    book = types_written_by(lambda: factories.visit(office, job, "survey", surveyor))
    assert book == ["crew.added", "visit.booked"]
    visit = job.visits.get()
    later = {"start": visit.start + timedelta(days=1), "end": visit.end + timedelta(days=1)}
    assert types_written_by(changed(diary.move_visit, office, visit=visit, **later)) == [
        "visit.moved"
    ]
    assert types_written_by(
        lambda: diary.cancel_visit(actor=office, visit=visit, expected_version=2)
    ) == ["visit.cancelled"]


def test_a_visit_that_begins_with_its_first_record_and_is_ended(office, job):
    visit = factories.visit(office, job, "survey", factories.person("surveyor"))
    begin = {"actor": office, "visit": visit, "at": timezone.now()}
    assert types_written_by(lambda: diary.begin_visit(**begin)) == ["visit.begun"]
    assert types_written_by(lambda: diary.begin_visit(**begin)) == []
    visit.refresh_from_db()
    assert types_written_by(
        lambda: diary.end_visit(actor=office, visit=visit, expected_version=2)
    ) == ["visit.ended"]


def test_recovery_codes_and_the_seal(office, job, monkeypatch):
    monkeypatch.setattr(second_factor, "accept_code", lambda **_: None)
    assert types_written_by(
        lambda: second_factor.renew_recovery_codes(person=office, code="000000")
    ) == ["recovery_codes.renewed"]
    assert types_written_by(seals.seal_streams) == ["journal.sealed"]
    assert types_written_by(
        lambda: jobs.add_opening(
            actor=office, idempotency_key=IdempotencyKey(), job=job, name="Rear wall"
        )
    ) == ["opening.added"]
