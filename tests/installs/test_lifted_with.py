"""Whom it takes to lift the frame is held against the crew that is there; what is short is said
everywhere, and who helped or which aid is on record.

How many people a mass takes is held against HSE INDG143 and L23 in `tests/checks/test_lift.py`.
"""

from uuid import uuid4

import pytest
from django.test import Client

from installs.services.lifting import people_for_frame
from tests import factories, walker
from tests.api import pointers, signed_in

pytestmark = pytest.mark.django_db

PATH = "/api/v1/inspections/"


@pytest.fixture
def client(fitter):
    return signed_in(fitter)


@pytest.fixture
def lift(client, fitter, installation, step):
    """Records that the frame is in."""
    factories.fitted(fitter, installation, until="lift_in")
    lifting = step("lift_in")

    def record(**otherwise):
        body = {"id": str(uuid4()), "step": str(lifting.pk)}
        return client.post(PATH, body | {"checks": dict.fromkeys(lifting.checks, True)} | otherwise)

    return record


def more_people(installation, count: int) -> None:
    for _ in range(count):
        installation.visit.people.add(factories.person("fitter"))


def test_a_crew_that_is_too_small_says_who_helped(installation, lift):
    answer = lift()
    assert pointers(answer) == ["/lifted_with"]
    assert people_for_frame(installation) == 3
    assert answer.json()["errors"][0]["detail"] == (
        "the frame of about 101 kg takes 3 people or a lifting aid; booked: 1. Name who helped, or "
        "the lifting aid"
    )
    made = lift(lifted_with="A glass lifter").json()
    assert (made["outcome"], made["lifted_with"]) == ("pass", "A glass lifter")


def test_a_frame_that_is_not_in_needs_no_helper(lift, step):
    checks = dict.fromkeys(step("lift_in").checks, True) | {"team": False}
    made = lift(checks=checks, note="We are too few").json()
    assert made["outcome"] == "fail"


def test_other_steps_lift_nothing(client, fitter, installation, step):
    factories.fitted(fitter, installation, until="damp_proof_course")
    laid = step("damp_proof_course")
    body = {"step": str(laid.pk), "checks": dict.fromkeys(laid.checks, True)}
    assert pointers(client.post(PATH, body | {"lifted_with": "A crane"})) == ["/lifted_with"]


def test_the_sheet_the_step_and_the_day_say_that_the_crew_is_too_small(
    fitter, installation, step, lift
):
    browser = Client()
    browser.force_login(fitter)
    sheet = f"/fittings/{installation.pk}/"
    assert "Before the frame is lifted." in browser.get(sheet).content.decode()
    page = browser.get(f"{sheet}steps/{step('lift_in').number}/").content.decode()
    assert "The frame of about 101 kg takes 3 people or a lifting aid; booked: 1." in page
    lift(lifted_with="A glass lifter")
    assert "Before the frame is lifted." not in browser.get(sheet).content.decode()
    page = browser.get(f"{sheet}steps/{step('lift_in').number}/").content.decode()
    assert "Lifted with: A glass lifter." in page
    assert "a lifting aid" in browser.get("/today/").content.decode()


def test_a_crew_that_is_large_enough_is_asked_nothing(office, fitter, step):
    job = factories.job(office)
    narrow = factories.installation(
        office, fitter, job, fold="2-2-0", frame={"width": 1790, "height": 2100}
    )
    assert people_for_frame(narrow) == 2
    more_people(narrow, 1)
    factories.fitted(fitter, narrow, until="lift_in")
    lifting = narrow.steps.get(code="lift_in")
    body = {"step": str(lifting.pk), "checks": dict.fromkeys(lifting.checks, True)}
    assert signed_in(fitter).post(PATH, body).json()["outcome"] == "pass"


def test_what_is_in_order_names_a_helper(step):
    assert walker.evidence(step("lift_in"))["lifted_with"]
