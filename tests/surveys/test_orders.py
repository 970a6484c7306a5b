import pytest

from tests import factories
from tests.api import signed_in

pytestmark = pytest.mark.django_db

VERSION_1 = {"If-Match": '"1"'}


def order(person, doorset, headers=VERSION_1):
    return signed_in(person).post(f"/api/v1/doorsets/{doorset.pk}/order/", headers=headers)


@pytest.fixture
def fitting_doorset(office, opening):
    doorset = factories.doorset(office, opening)
    factories.fit_decision(office, factories.accepted_survey(office, opening), doorset)
    return doorset


def test_a_doorset_is_ordered_when_its_gate_is_open(office, fitting_doorset):
    answer = order(office, fitting_doorset)
    assert answer.status_code == 200, answer.content
    assert answer.json()["ordered_at"] is not None
    assert answer["ETag"] == '"2"'


def test_a_closed_gate_says_all_that_stands_in_the_way(office, opening):
    doorset = factories.doorset(office, opening)
    answer = order(office, doorset)
    assert answer.status_code == 409
    problem = answer.json()
    assert problem["gate"] == "order"
    assert [blocker["code"] for blocker in problem["blockers"]] == ["survey"]
    doorset.refresh_from_db()
    assert doorset.ordered_at is None


def test_an_order_names_the_version_it_orders(office, fitting_doorset):
    assert order(office, fitting_doorset, headers={}).status_code == 428
    assert order(office, fitting_doorset, headers={"If-Match": '"9"'}).status_code == 412


def test_a_doorset_is_ordered_once(office, fitting_doorset):
    order(office, fitting_doorset)
    assert order(office, fitting_doorset, headers={"If-Match": '"2"'}).status_code == 409


def test_only_the_office_orders(fitter, fitting_visit, fitting_doorset):
    assert order(fitter, fitting_doorset).status_code == 403


def test_another_opening_that_is_not_ready_does_not_hold_up_the_order(
    office, opening, fitting_doorset
):
    factories.opening(office, opening.job, "Side wall")
    assert order(office, fitting_doorset).status_code == 200
