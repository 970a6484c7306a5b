"""A certificate waits for the visits at which its doorsets were fitted."""

from datetime import timedelta

import pytest
from django.utils import timezone

from installs.services.handing_over import current_installations
from jobs.models import Visit
from jobs.services.diary import cancel_visit, end_visit
from reports.gates import certificate_gate
from tests import factories
from tests.journal import changed
from tests.reports.fitted import handed_over_job

pytestmark = pytest.mark.django_db


@pytest.fixture
def fitter():
    return factories.person("fitter")


def codes(job) -> list[str]:
    return [blocker.code for blocker in certificate_gate(job)]


def test_the_handover_ends_the_visits_that_it_is_made_at(office, fitter):
    job = handed_over_job(office, fitter)
    fittings = Visit.objects.filter(job=job, kind="fitting")
    assert all(visit.has_begun and visit.is_over for visit in fittings)
    assert codes(job) == []


def test_no_certificate_comes_before_a_visit_to_fit_has_begun(office, fitter):
    job = factories.job(office)
    ahead = timezone.now() + timedelta(days=30)
    visit = factories.visit(office, job, "fitting", fitter, start=ahead)
    assert "visit" in codes(job)
    cancel_visit(actor=office, visit=visit, expected_version=visit.version)
    assert "visit" not in codes(job)


def test_no_certificate_comes_while_a_visit_to_fit_goes_on(office, fitter):
    job = handed_over_job(office, fitter)
    visit = current_installations(job).get().visit
    visit = changed(visit, ended_at=None, end=timezone.now() + timedelta(hours=1))
    assert codes(job) == ["visit"]
    end_visit(actor=office, visit=visit, expected_version=visit.version)
    assert codes(job) == []


def test_a_visit_that_is_booked_after_the_handover_is_another_matter(office, fitter):
    job = handed_over_job(office, fitter)
    ahead = timezone.now() + timedelta(days=30)
    factories.visit(office, job, "fitting", fitter, start=ahead)
    assert codes(job) == []
