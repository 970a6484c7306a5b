"""The advice on packers without a record: what it answers, and what it refuses by its field."""

from typing import Any

import pytest
from rest_framework.test import APIClient

from tests import factories
from tests.api import pointers, signed_in

pytestmark = pytest.mark.django_db

PACKER_ADVICE = "/api/v1/calculations/packer-advice/"
BOWED: dict[str, Any] = {
    "member": "left",
    "length": 2100,
    "fixings": [{"at": at, "packers": [5, 3]} for at in (150, 750, 1350, 1950)],
    "readings": [
        {"kind": "plumb", "value": 0.0, "expanded_uncertainty": 0.6},
        {"kind": "bow", "at": 525, "value": 3.5, "expanded_uncertainty": 0.6},
        {"kind": "bow", "at": 1050, "value": 5.0, "expanded_uncertainty": 0.6},
        {"kind": "bow", "at": 1575, "value": 3.5, "expanded_uncertainty": 0.6},
    ],
}


@pytest.fixture
def client(db):
    factories.rule_set()
    return signed_in(factories.person("fitter"))


def test_a_jamb_that_bows_into_the_opening_loses_packers_in_its_middle(client):
    answer = client.post(PACKER_ADVICE, BOWED)
    assert answer.status_code == 200, answer.content
    advice = answer.json()
    assert advice["within_limits"] is False
    assert advice["act"]["kind"] == "change_packers"
    assert {change["at"] for change in advice["act"]["changes"]} == {750, 1350}
    assert all(change["change"] < 0 for change in advice["act"]["changes"])
    middle = next(r for r in advice["act"]["predicted"] if (r["kind"], r["at"]) == ("bow", 1050))
    assert abs(middle["value"]) < 1.5
    assert advice["in_words"].endswith("then read again")
    assert advice["limits"] == {"plumb": 3.0, "level": 3.0, "bow": 1.5, "diagonal": 2.0}
    assert advice["rule_set"] == factories.NEWEST_RULE_SET
    assert advice["cautions"]
    assert any(source.startswith("bow: ") for source in advice["sources"])


def test_what_was_changed_since_a_reading_counts(client):
    # The middle was read 5 mm out, and 3 mm were taken out at both inner fixings since.
    before = [reading | {"changes_before": 0} for reading in BOWED["readings"]]
    made = [{"at": at, "change": -3} for at in (750, 1350)]
    advice = client.post(PACKER_ADVICE, BOWED | {"readings": before, "changes": made}).json()
    middle = next(d for d in advice["deviations"] if (d["kind"], d["at"]) == ("bow", 1050))
    assert abs(middle["value"]) < 1.5
    assert middle["standard_uncertainty"] > 0.3


def test_limits_and_packers_of_the_body_go_before_those_of_the_rule_set(client):
    wide = client.post(PACKER_ADVICE, BOWED | {"limits": {"bow": 9}}).json()
    assert wide["within_limits"] is True
    assert wide["act"]["kind"] == "leave"
    assert not any(source.startswith("bow: ") for source in wide["sources"])
    carried = client.post(PACKER_ADVICE, BOWED | {"packer_thicknesses": [2]}).json()
    assert all(set(change["added"]) <= {2} for change in carried["act"]["changes"])


def changed(**changes: Any) -> dict[str, Any]:
    return BOWED | changes


PLUMB = BOWED["readings"][0]


@pytest.mark.parametrize(
    ("body", "pointer"),
    [
        (changed(member="post"), "/member"),
        (changed(fixings=BOWED["fixings"][:1]), "/fixings"),
        (changed(fixings=[{"at": 750}, {"at": 150}]), "/fixings/1/at"),
        (changed(fixings=[{"at": 750}, {"at": 2100}]), "/fixings/1/at"),
        (changed(fixings=[{"at": 150, "packed": False}, {"at": 750}]), "/fixings"),
        (changed(readings=[]), "/readings"),
        (changed(readings=[PLUMB | {"kind": "level", "at": 0}]), "/readings/0/kind"),
        (changed(readings=[PLUMB | {"at": 0}]), "/readings/0/at"),
        (changed(readings=[PLUMB | {"kind": "bow"}]), "/readings/0/at"),
        (changed(readings=[PLUMB | {"kind": "bow", "at": 2200}]), "/readings/0/at"),
        (changed(readings=[PLUMB | {"changes_before": 1}]), "/readings/0/changes_before"),
        (changed(readings=[PLUMB | {"kind": "diagonal"}]), "/frame"),
        (changed(readings=[PLUMB | {"value": 2032}]), "/readings/0/value"),
        (changed(changes=[{"at": 400, "change": 2}]), "/changes/0/at"),
        (changed(limits={"bow": 0}), "/limits/bow"),
        (changed(packer_thicknesses=[0]), "/packer_thicknesses/0"),
        (changed(rule_set="none"), "/rule_set"),
    ],
)
def test_what_cannot_be_of_one_member_is_refused_by_its_field(client, body, pointer):
    answer = client.post(PACKER_ADVICE, body)
    assert answer.status_code == 400
    assert pointers(answer) == [pointer]


def test_a_visitor_gets_no_advice(db):
    factories.rule_set()
    assert APIClient().post(PACKER_ADVICE, BOWED).status_code in (401, 403)
