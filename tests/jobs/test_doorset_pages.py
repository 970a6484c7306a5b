"""Drafting a doorset on its page, without a browser."""

import re
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from jobs.calculations import DOORSET_CALCULATION
from jobs.models import Doorset
from tests import factories
from tests.api import signed_in
from tests.jobs.office_forms import error_beside, html_of, typed

pytestmark = pytest.mark.django_db


@pytest.fixture
def office():
    return factories.person("office")


@pytest.fixture
def browser(office) -> Client:
    client = Client()
    client.force_login(office)
    return client


@pytest.fixture
def job(office):
    return factories.job(office)


@pytest.fixture
def opening(office, job):
    return factories.opening(office, job)


@pytest.fixture
def model(office, job):
    """The draft of another opening of the job: what is typed here is typed after it."""
    return factories.doorset(office, factories.opening(office, job, "Side return"))


def page_of(opening, name: str = "doorset") -> str:
    return reverse(name, args=[opening.job.reference, opening.number])


def sent(doorset, **changes) -> dict[str, str]:
    return typed(doorset, **changes) | {"id": str(uuid4())}


def test_a_doorset_is_drafted_as_it_was_typed(browser, opening, model):
    answer = browser.post(page_of(opening), sent(model, fold="4-3-1", colour_inside="slate"))
    assert answer["Location"] == f"/jobs/{opening.job.reference}/"
    drafted = Doorset.objects.get(opening=opening)
    assert (drafted.fold, drafted.colour_inside, drafted.upstand) == ("4-3-1", "slate", 12)
    assert drafted.glazing == factories.GLAZING


def test_the_page_works_out_exactly_what_the_interface_for_programs_does(
    browser, office, opening, model
):
    browser.post(page_of(opening), sent(model, fold="4-3-1"))
    drafted = Doorset.objects.get(opening=opening)
    body = {
        "frame": {"width": drafted.frame_width, "height": drafted.frame_height},
        "fold": "4-3-1",
        "opens": "out",
        "profile_system": factories.PROFILE_DATA,
        "glazing": factories.GLAZING,
        "upstand": 12,
        "rule_set": opening.job.rule_set.name,
    }
    answered = signed_in(office).post("/api/v1/calculations/doorset/", body, format="json").json()
    assert drafted.calculation == DOORSET_CALCULATION.read(answered)


def test_the_drawing_follows_the_fold_and_stores_nothing(browser, opening, model):
    five = html_of(browser.post(page_of(opening, "draw-doorset"), sent(model, fold="5-5-0")))
    three = html_of(browser.post(page_of(opening, "draw-doorset"), sent(model, fold="3-1-2")))
    assert [five.count("data-leaf="), three.count("data-leaf=")] == [5, 3]
    assert "1 leaf folds left, 2 leaves fold right" in three
    assert not Doorset.objects.filter(opening=opening).exists()


def test_drawing_again_without_javascript_keeps_what_was_typed(browser, opening, model):
    page = html_of(browser.post(page_of(opening), sent(model, fold="3-1-2") | {"draw": "1"}))
    assert page.count("data-leaf=") == 3
    assert 'value="3-1-2"' in page
    assert not Doorset.objects.filter(opening=opening).exists()


def test_the_drawing_needs_no_colour_yet(browser, opening, model):
    unchosen = dict.fromkeys(("colour_inside", "colour_outside", "handle", "threshold"), "")
    drawing = browser.post(page_of(opening, "draw-doorset"), sent(model, **unchosen))
    assert "data-leaf=" in html_of(drawing)
    kept = html_of(browser.post(page_of(opening), sent(model, **unchosen)), 400)
    assert error_beside(kept, "colour_inside") == "This field is required."


def test_what_keeps_the_drawing_back_is_told_in_the_words_of_the_field(browser, opening, model):
    html = html_of(
        browser.post(
            page_of(opening, "draw-doorset"),
            sent(model, fold="5-3-1", frame_width="3.59", frame_height=""),
        )
    )
    assert "Not drawn yet" in html
    assert "5-3-1 does not add up: 3 + 1 is not 5" in html
    assert "3.59 looks like metres" in html
    assert re.search(r"Frame height:</strong>\s*still empty", html)


def test_a_broken_limit_is_told_with_the_limit(browser, opening, model):
    html = html_of(browser.post(page_of(opening, "draw-doorset"), sent(model, fold="2-2-0")))
    assert re.search(r"beyond the limit</span> <strong>Widest leaf: [\d.]+ mm \(leaf 1, 2\)", html)
    assert "the profile system allows 1000 mm" in html
    assert re.search(r"within the limit</span> <strong>Tallest leaf", html)


def test_glass_that_somebody_can_break_is_told(browser, opening, model):
    html = html_of(
        browser.post(page_of(opening, "draw-doorset"), sent(model, pane_2_safety="none"))
    )
    missing = r"beyond the limit</span> <strong>Safety glass: missing in leaf 1: pane 2"
    assert re.search(missing, html)


def test_a_frame_that_cannot_hold_its_leaves_is_told_beside_its_width(browser, opening, model):
    page = html_of(browser.post(page_of(opening), sent(model, frame_width="700")), 400)
    assert "cannot hold 5 leaves" in error_beside(page, "frame_width")
    assert 'value="700"' in page


@pytest.mark.parametrize(
    ("changes", "field", "message"),
    [
        ({"pane_1_glass": ""}, "pane_1_glass", "required"),
        ({"pane_1_glass": "six"}, "pane_1_glass", "not a number; give 2 to 60 mm"),
        ({"pane_2_safety": ""}, "pane_2_safety", "say whether it is safety glass"),
        ({"cavity_1_cavity": ""}, "cavity_1_cavity", "give the cavity between panes 1 and 2"),
        ({"cavity_2_cavity": "16"}, "cavity_2_cavity", "pane 3 is missing"),
        ({"pane_2_glass": "", "pane_3_glass": "4"}, "pane_2_glass", "this one is empty"),
        ({"cavity_1_krypton": "20"}, "cavity_1_argon", "more than 100 %"),
        ({"pane_1_coated_face": "outward"}, "pane_1_coated_face", "looks into a cavity"),
    ],
)
def test_glazing_that_cannot_be_is_told_beside_its_field(  # noqa: PLR0917
    browser, opening, model, changes, field, message
):
    page = html_of(browser.post(page_of(opening), sent(model, **changes)), 400)
    assert message in error_beside(page, field)


def test_three_panes_with_a_mixture_of_gases_are_kept_as_typed(browser, opening, model):
    changes = {
        "pane_2_emissivity": "0.1",
        "pane_2_coated_face": "outward",
        "cavity_2_cavity": "12",
        "cavity_2_argon": "60",
        "cavity_2_krypton": "30",
        "pane_3_glass": "6",
        "pane_3_safety": "laminated",
        "u_glass": "0.7",
    }
    browser.post(page_of(opening), sent(model, **changes))
    glazing = Doorset.objects.get(opening=opening).glazing
    assert glazing["layers"][2]["coated_face"] == "outward"
    assert glazing["layers"][3] == {
        "cavity": 12,
        "gas": {"argon": 0.6, "krypton": 0.3, "air": 0.1},
    }
    assert glazing["layers"][4] == {"glass": 6, "safety": "laminated"}
    assert glazing["u_glass"] == 0.7


def test_choosing_another_profile_system_brings_its_choices(browser, office, opening, model):
    choices = factories.ORDER_CHOICES | {"colours": ["moss"], "handles": ["knob"]}
    other = factories.profile_system(office, choices=choices)
    old = sent(model) | {"offered_by": str(model.profile_system_id)}
    unchanged = html_of(browser.post(page_of(opening, "draw-doorset"), old))
    assert "hx-swap-oob" not in unchanged
    swapped = html_of(
        browser.post(page_of(opening, "draw-doorset"), old | {"profile_system": str(other.pk)})
    )
    assert "moss" in swapped
    assert f'name="offered_by" value="{other.pk}"' in swapped


def test_a_second_opening_starts_from_the_glass_and_choices_of_the_first(browser, opening, model):
    page = html_of(browser.get(page_of(opening)))
    assert re.search(r'name="pane_1_glass" value="6"', page)
    assert re.search(r'<option value="chalk" selected>', page)
    assert 'value="5-5-0"' not in page


def test_a_draft_is_changed_from_the_version_that_was_shown(browser, office, opening):
    draft = factories.doorset(office, opening)
    browser.post(page_of(opening), sent(draft, handle="lever", fold="5-0-5", version=1))
    draft.refresh_from_db()
    assert (draft.fold, draft.version, draft.revision) == ("5-0-5", 2, 1)
    stale = html_of(browser.post(page_of(opening), sent(draft, fold="5-2-3", version=1)), 400)
    assert "has changed this" in stale


def test_what_is_kept_after_an_order_is_the_next_revision(browser, office, opening):
    ordered = factories.ordered_doorset(office, opening)
    page = html_of(browser.get(page_of(opening)))
    assert "becomes revision 2" in page
    browser.post(page_of(opening), sent(ordered, fold="5-0-5"))
    revision = opening.doorsets.current().get()
    assert (revision.revision, revision.fold, revision.ordered_at) == (2, "5-0-5", None)


def test_a_doorset_that_was_delivered_and_accepted_stands(browser, office, opening):
    ordered = factories.ordered_doorset(office, opening)
    factories.delivery(office, ordered)
    page = html_of(browser.get(page_of(opening)))
    assert "it cannot be changed any more" in page
    assert 'name="fold"' not in page


def test_the_doorset_is_for_the_office(office, opening, job):
    fitter = factories.person("fitter")
    factories.visit(office, job, "fitting", fitter)
    client = Client()
    client.force_login(fitter)
    assert client.get(page_of(opening)).status_code == 403
    assert client.post(page_of(opening, "draw-doorset")).status_code == 403


RAISED = {"threshold": "weathered"}


def threshold_told(page: str) -> str:
    """The state and the words of the threshold among the limits of a page."""
    told = re.search(r"<li>(?:(?!</li>).)*<strong>Threshold: .*?</li>", page, re.DOTALL)
    assert told
    return " ".join(re.sub(r"<[^>]+>", " ", told[0]).split())


def test_a_high_threshold_is_asked_about_until_the_case_is_known(browser, opening, model):
    page = html_of(browser.post(page_of(opening, "draw-doorset"), sent(model, **RAISED)))
    assert threshold_told(page).startswith("? to be asked Threshold: 45 mm above the floor")
    assert "say in which nation it is fitted" in threshold_told(page)
    assert page_of(opening, "change-opening") in page


@pytest.mark.parametrize(
    ("answered", "told"),
    [
        (("new_dwelling", ""), "✗ beyond the limit"),
        (("replacement", ""), "? to be asked"),
        (("replacement", "50"), "✓ within the limit"),
        (("replacement", "20"), "✗ beyond the limit"),
    ],
)
def test_what_is_said_at_the_opening_decides_it(browser, opening, model, answered, told):
    work, old = answered
    case = {"nation": "england", "work": work, "existing_upstand": old}
    to_change = page_of(opening, "change-opening")
    body = {"id": str(uuid4()), "version": opening.version, "name": opening.name, **case}
    assert browser.post(to_change, body).status_code == 302
    page = html_of(browser.post(page_of(opening, "draw-doorset"), sent(model, **RAISED)))
    assert threshold_told(page).startswith(told)
    kept = html_of(browser.get(to_change))
    assert f'value="{work}" selected' in kept
    assert error_beside(
        html_of(browser.post(to_change, body | {"existing_upstand": "-1"}), 400),
        ("existing_upstand"),
    )


def test_a_declared_energy_band_is_kept_with_the_draft(browser, opening, model):
    browser.post(page_of(opening), sent(model, energy_band="B"))
    assert Doorset.objects.get(opening=opening).energy_band == "B"


def test_programs_are_told_the_case_too(office, opening, model):
    client = signed_in(office)
    body = {
        "frame": {"width": 3590, "height": 2100},
        "fold": "5-5-0",
        "opens": "out",
        "profile_system": factories.PROFILE_DATA,
        "glazing": factories.GLAZING,
        "upstand": 45,
    }
    path = "/api/v1/calculations/doorset/"
    (asked, kept) = client.post(path, body).json()["requirements"]
    assert (asked["standing"], asked["asks"]) == ("question", ["nation", "work"])
    assert kept["standing"] == "kept"
    case = {"nation": "england", "work": "replacement", "existing_upstand": 45}
    told = client.post(path, body | case).json()["requirements"]
    assert [one["standing"] for one in told] == ["kept", "kept"]
    assert client.post(path, body | {"nation": "atlantis"}).status_code == 400
    changed = client.patch(
        f"/api/v1/openings/{opening.pk}/", case, headers={"If-Match": f'"{opening.version}"'}
    )
    assert changed.status_code == 200, changed.content
    assert {name: changed.json()[name] for name in case} == case
