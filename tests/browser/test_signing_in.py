"""Signing in with a real browser."""

from tests import factories
from tests.browser.pages import assert_sound_in_every_look


def test_the_sign_in_page_is_sound(context_of):
    page = context_of(None).new_page()
    page.goto("/sign-in/")
    assert_sound_in_every_look(page)


def test_a_name_that_was_typed_is_there_again_after_a_wrong_password(context_of):
    office = factories.person("office")
    page = context_of(None).new_page()
    page.goto("/sign-in/")
    page.get_by_label("Name").fill(office.username)
    page.get_by_label("Password").fill("not it")
    page.get_by_role("button", name="Sign in").click()
    assert page.get_by_role("alert").is_visible()
    assert page.get_by_label("Name").input_value() == office.username


def test_signing_in_leads_home_and_out_again(context_of):
    page = context_of(factories.person("office")).new_page()
    page.goto("/")
    assert page.get_by_role("navigation", name="Main").is_visible()
    page.get_by_role("button", name="Sign out").click()
    page.wait_for_url("**/sign-in/**")
