"""The office's pages of profile systems, without a browser."""

from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from jobs.models import ProfileSystem
from jobs.views.profile_system_forms import FIGURES, ProfileSystemForm
from tests import factories
from tests.jobs.office_forms import as_typed, error_beside, html_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def office():
    return factories.person("office")


@pytest.fixture
def browser(office) -> Client:
    client = Client()
    client.force_login(office)
    return client


def sent(system, **changes) -> dict[str, str]:
    return as_typed(ProfileSystemForm.showing(system) | changes) | {"id": str(uuid4())}


def test_a_system_is_added_with_every_figure_as_it_was_typed(browser, office):
    model = factories.profile_system(office, material="timber")
    browser.post(reverse("add-profile-system"), sent(model, name="Oak"))
    added = ProfileSystem.objects.get(name="Oak")
    same = ("material", "choices", *FIGURES)
    assert {n: getattr(added, n) for n in same} == {n: getattr(model, n) for n in same}


def test_a_figure_out_of_bounds_is_told_beside_its_field_with_its_unit(browser, office):
    model = factories.profile_system(office)
    page = html_of(
        browser.post(reverse("add-profile-system"), sent(model, name="Oak", frame_u="14")), 400
    )
    message = "14 W/(m2 K) is not possible here; give 0.1 to 10 W/(m2 K)"
    assert error_beside(page, "frame_u") == message
    assert 'value="14"' in page
    assert not ProfileSystem.objects.filter(name="Oak").exists()


@pytest.mark.parametrize(
    ("changes", "field", "message"),
    [
        ({"thresholds": "low"}, "thresholds", "give its upstand in mm too"),
        ({"thresholds": "low, high"}, "thresholds", "not a number"),
        ({"colours": "x" * 61}, "colours", "no more than 60"),
        ({"through_track": False, "in_channel": False}, "through_track", "how the head is fixed"),
        ({"frame_face": ""}, "frame_face", "required"),
    ],
)
def test_what_cannot_be_is_told_beside_its_field(browser, office, changes, field, message):
    model = factories.profile_system(office)
    answer = browser.post(reverse("add-profile-system"), sent(model, name="Oak", **changes))
    assert message in error_beside(html_of(answer, 400), field)


def test_a_name_that_is_taken_is_told_beside_it(browser, office):
    model = factories.profile_system(office, name="Oak")
    page = html_of(browser.post(reverse("add-profile-system"), sent(model)), 400)
    assert error_beside(page, "name") == "Oak is taken"


def test_a_system_is_changed_from_the_version_that_was_shown(browser, office):
    system = factories.profile_system(office)
    address = reverse("change-profile-system", args=[system.pk])
    browser.post(address, sent(system, leaf_gap="5", ventilators=""))
    system.refresh_from_db()
    assert (system.leaf_gap, system.choices["ventilators"], system.version) == (5, [], 2)
    assert "has changed this" in html_of(browser.post(address, sent(system, version="1")), 400)


def test_an_empty_list_says_why_a_system_comes_first(browser, office):
    assert "Leaf sizes, masses and limits follow" in html_of(browser.get("/profile-systems/"))
    system = factories.profile_system(office)
    assert system.name in html_of(browser.get("/profile-systems/"))
