"""What a page, and a part of a page, answers whoever is not signed in."""

import pytest
from django.test import Client

from tests import factories

pytestmark = pytest.mark.django_db

A_PART = {"HX-Request": "true", "HX-Current-URL": "http://testserver/jobs/?q=quill"}


def test_a_page_leads_to_sign_in_and_back():
    answer = Client().get("/customers/?q=quill")
    assert answer.status_code == 302
    assert answer["Location"] == "/sign-in/?next=/customers/%3Fq%3Dquill"


def test_a_part_of_a_page_has_the_whole_browser_sign_in_and_come_back_to_the_page():
    answer = Client().get("/customers/", headers=A_PART)
    assert answer["HX-Redirect"] == "/sign-in/?next=/jobs/%3Fq%3Dquill"
    assert "Location" not in answer
    assert answer.content == b""


@pytest.mark.parametrize("elsewhere", ["https://example.org/jobs/", ""])
def test_a_part_of_an_unknown_page_leads_back_to_the_first_page(elsewhere):
    answer = Client().get("/customers/", headers=A_PART | {"HX-Current-URL": elsewhere})
    assert answer["HX-Redirect"] == "/sign-in/?next=/"


def test_a_part_of_a_page_has_the_whole_browser_enrol_a_second_factor_first(settings):
    settings.OFFICE_NEEDS_SECOND_FACTOR = True
    client = Client()
    client.force_login(factories.person("office"))
    assert client.get("/customers/", headers=A_PART)["HX-Redirect"] == "/second-factor/"
