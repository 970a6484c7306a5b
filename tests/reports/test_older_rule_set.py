"""A whole job under a rule set that knows no rule at all: the newest set of the family decides all
of it, nothing fails for want of a rule, and every page and paper says which set decided."""

from collections.abc import Iterator

import pytest
from django.db import transaction
from django.test import override_settings

from installs.services.handing_over import current_installations
from reports.gates import all_gates
from reports.kinds import KINDS
from tests.older_rule_sets import BY_NEWEST, NEWEST, OLDER, older_rule_set
from tests.permissions import who_may
from tests.permissions.finished_job import FinishedJob, finished_job
from tests.permissions.routes import asked
from tests.permissions.test_every_route import ROWS
from tests.reports.papers import paper_of

pytestmark = pytest.mark.django_db

READ = [row for row in ROWS if row.method == "GET"]
PAGES_WITH_LIMITS = (
    "/jobs/{job}/openings/1/doorset/",
    "/jobs/{job}/openings/1/order/",
    "/jobs/{job}/openings/1/surveys/{survey}/",
)
PAGES_OF_THE_FITTING = ("", "steps/6/", "junctions/1/", "members/left/", "sashes/1/")


@pytest.fixture(scope="module")
def _files(tmp_path_factory):
    return tmp_path_factory.mktemp("files")


@pytest.fixture(scope="module")
def finished(django_db_setup, django_db_blocker, _files) -> Iterator[FinishedJob]:
    quick = override_settings(
        MEDIA_ROOT=_files,
        PASSWORD_HASHERS=["django.contrib.auth.hashers.MD5PasswordHasher"],
    )
    with django_db_blocker.unblock(), transaction.atomic():
        with quick:
            built = finished_job(older_rule_set())
        yield built
        transaction.set_rollback(True)


@pytest.fixture(autouse=True)
def _files_of_the_job(_own_folders, settings, _files) -> None:
    settings.MEDIA_ROOT = _files


@pytest.mark.parametrize("who", [who_may.OFFICE, who_may.FITTER, who_may.SURVEYOR])
def test_everything_that_can_be_read_answers_as_under_any_set(finished, who):
    for row in READ:
        address = row.address.format_map(finished.parts)
        assert asked(finished.browser(who), "GET", address) == row.expected[who], row


def test_the_job_keeps_its_set_and_passes_every_gate(finished):
    assert finished.job.rule_set.name == OLDER
    assert not any(all_gates(finished.job).values())


@pytest.mark.parametrize("page", PAGES_WITH_LIMITS)
def test_a_page_that_shows_limits_says_which_set_decides_them(finished, page):
    says_so(finished, who_may.OFFICE, page.format_map(finished.parts))


@pytest.mark.parametrize("page", PAGES_OF_THE_FITTING)
def test_a_page_of_the_fitting_says_which_set_decides_its_limits(finished, page):
    says_so(finished, who_may.FITTER, f"/fittings/{finished.parts['installation']}/{page}")


@pytest.mark.parametrize("kind", KINDS)
def test_a_paper_says_which_set_decides_its_limits(finished, kind):
    paper = paper_of(finished.job, kind)
    assert paper.facts["rule_set"]["name"] == OLDER
    assert BY_NEWEST in paper.html


def test_a_certificate_says_it_of_every_limit_that_it_lists(finished):
    rules = paper_of(finished.job, "completion_certificate").facts["rule_set"]["rules"]
    assert len(rules) > 20
    assert {rule["decided_by"] for rule in rules} == {f"rule set {BY_NEWEST}"}


def test_what_is_frozen_keeps_it(finished):
    opening = finished.job.openings.get()
    survey = opening.surveys.order_by("created_at").first()
    installation = current_installations(finished.job).get()
    frozen = {
        "clearance.head": survey.assessment,
        "joint.greatest": survey.fit_decisions.get().answer,
        "thermal.u_value": opening.doorsets.get().calculation,
        "movement.change_aluminium": installation.plan,
    }
    for name, answer in frozen.items():
        assert answer.rule_set == OLDER
        borrowed = {rule.rule: rule.rule_set for rule in answer.rules_from_newer_sets}
        assert borrowed[name] == NEWEST


def says_so(finished: FinishedJob, who: str, address: str) -> None:
    page = finished.browser(who).get(address)
    assert page.status_code == 200, address
    assert BY_NEWEST in page.content.decode(), address
