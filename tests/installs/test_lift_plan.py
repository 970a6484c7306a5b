"""What the plan of a doorset says of its lifts, by how its sashes and glass come.

Masses are those that tests/checks/test_lift.py works out by hand: frame 27.312 kg, five sashes of
14.709 kg, their panes 27.945 kg each. That a crew lifts a frame with its unglazed sashes in it:
common practice, no source.
"""

import pytest
from django.urls import reverse

from tests import factories
from tests.api import pointers, signed_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def planned(office, fitter, job):
    """Plans the fitting of a 5-5-0 of 3590 x 2100 mm whose system comes as it is given."""

    def plan(**comes):
        system = factories.profile_system(office, **comes)
        return factories.installation(office, fitter, job, profile_system=system)

    return plan


def masses(lifts):
    return [round(lift.mass, 3) for lift in lifts]


def test_a_frame_with_five_sashes_in_it_takes_a_lifting_aid_and_says_what_is_in_its_mass(planned):
    installation = planned()
    lift = installation.plan.lifts.frame
    assert lift.mass == pytest.approx(100.858, abs=0.001)
    assert (lift.with_sashes, lift.people_needed) == ("unglazed", None)
    assert lift.mechanical_aid
    step = installation.steps.get(code="lift_in")
    assert "The frame with its sashes, unglazed, is about 101 kg" in step.caution
    assert "a lifting aid is required" in step.caution
    assert step.checks["team"].startswith("lifted by a lifting aid; with the sashes taken off")


def test_sashes_that_come_hung_may_be_taken_off_first_as_the_manufacturer_allows(planned):
    off = planned().plan.lifts.sashes_off
    # From memory: HSE L23, hands low: two men 26.7 kg, three 30 kg; one 20 kg.
    assert masses([off.frame, off.heaviest_sash]) == [27.312, 14.709]
    assert (off.frame.people_needed, off.heaviest_sash.people_needed) == (3, 1)
    assert off.heaviest_sash.glazed is False
    assert "manufacturer's instructions" in off.condition


def test_the_frame_is_lifted_alone_and_each_sash_by_itself_where_they_come_loose(planned):
    installation = planned(sashes="loose")
    lifts = installation.plan.lifts
    assert (lifts.frame.with_sashes, lifts.sashes_off) == (None, None)
    assert masses([lifts.frame]) == [27.312]
    assert masses(lifts.sashes) == [14.709] * 5
    assert masses(lifts.panes) == [27.945] * 5
    assert "takes 3 people" in installation.steps.get(code="lift_in").caution


def test_glass_that_comes_fitted_is_lifted_with_the_frame_and_never_as_a_pane(planned):
    lifts = planned(glass="fitted").plan.lifts
    assert masses([lifts.frame]) == [240.582]
    assert lifts.frame.with_sashes == "glazed"
    assert masses([lifts.sashes_off.heaviest_sash]) == [42.654]
    assert (lifts.sashes, lifts.panes) == ((), ())


def test_loose_sashes_carry_the_glass_that_comes_fitted_in_them(planned):
    lifts = planned(sashes="loose", glass="fitted").plan.lifts
    assert masses([lifts.frame]) == [27.312]
    assert masses(lifts.sashes) == [42.654] * 5
    assert all(sash.glazed and sash.mechanical_aid for sash in lifts.sashes)
    assert lifts.panes == ()


@pytest.mark.parametrize(
    ("comes", "words"),
    [
        ({}, "about 27.9 kg. Lift it with 3 people or a lifting aid."),
        ({"glass": "fitted"}, "It comes fitted in its sash."),
        ({"sashes": "loose"}, "about 14.7 kg: 2 people or a lifting aid"),
        ({"sashes": "loose", "glass": "fitted"}, "about 42.7 kg: a lifting aid"),
    ],
)
def test_the_page_of_a_sash_says_how_its_pane_or_the_sash_is_lifted(
    client, fitter, planned, comes, words
):
    client.force_login(fitter)
    page = client.get(reverse("fitting-sash", args=[planned(**comes).pk, 1]))
    assert words in page.content.decode()


def test_the_calculation_answers_what_is_lifted_and_refuses_a_way_of_coming_it_does_not_know(
    fitter,
):
    client = signed_in(fitter)
    body = {
        "frame": {"width": 3590, "height": 2100},
        "fold": "5-5-0",
        "opens": "out",
        "profile_system": factories.PROFILE_DATA,
        "glazing": factories.GLAZING,
    }
    factories.rule_set()
    path = "/api/v1/calculations/doorset/"
    assert client.post(path, body).json()["lifted_mass"] == pytest.approx(100.858, abs=0.001)
    body["profile_system"] = factories.PROFILE_DATA | {"sashes": "loose"}
    assert client.post(path, body).json()["lifted_mass"] == pytest.approx(27.312)
    body["profile_system"] = factories.PROFILE_DATA | {"sashes": "stacked"}
    assert pointers(client.post(path, body)) == ["/profile_system/sashes"]
