import pytest

from tests import factories
from tests.api import pointers, signed_in

pytestmark = pytest.mark.django_db

LAYOUT = "/api/v1/calculations/fixing-layout/"
CONFORMITY = "/api/v1/calculations/conformity/"


@pytest.fixture
def client(db):
    factories.rule_set()
    return signed_in(factories.person("surveyor"))


def test_a_jamb_is_laid_out_by_the_newest_rule_set(client):
    answer = client.post(LAYOUT, {"members": [{"name": "left", "length": 2100}]})
    assert answer.status_code == 200, answer.content
    (member,) = answer.json()["members"]
    # Published: NHBC Standards 6.7.11, no centres over 600 mm; 3b worked: one jamb 2100, 4 fixings.
    assert member["count"] == 4
    assert max(member["centres"]) <= 600
    assert member["packers"] is None
    assert answer.json()["rule_set"] == factories.NEWEST_RULE_SET
    assert answer.json()["cautions"]
    assert any("NHBC" in source for source in answer.json()["sources"])


def test_rules_of_the_request_go_before_those_of_the_rule_set(client):
    body = {"members": [{"name": "left", "length": 2100}], "rules": {"max_centres": 300}}
    answer = client.post(LAYOUT, body).json()
    assert max(answer["members"][0]["centres"]) <= 300
    assert answer["rules"]["end_max"] == 200


def test_with_a_joint_profile_come_packers_for_every_position(client):
    body = {
        "members": [{"name": "left", "length": 2100}],
        "joint_profile": [
            {"member": "left", "at": 0, "width": 8.2},
            {"member": "left", "at": 2100, "width": 8.2},
        ],
    }
    (member,) = client.post(LAYOUT, body).json()["members"]
    assert [stack["pieces"] for stack in member["packers"]] == [[8]] * member["count"]


def test_fixings_stay_out_of_the_bed_joints_of_a_brick_jamb(client):
    member = {"name": "left", "length": 2100, "bed_joint_datum": 155}
    (laid,) = client.post(LAYOUT, {"members": [member]}).json()["members"]
    assert laid["positions"]
    assert all(5 <= (position - 155) % 75 <= 70 for position in laid["positions"])


def test_a_member_that_cannot_be_laid_out_says_where(client):
    member = {"name": "left", "length": 2100, "kept_out": [[300, 1200]]}
    (laid,) = client.post(LAYOUT, {"members": [member]}).json()["members"]
    assert laid["positions"] is None
    assert "1200" in laid["reason"]


@pytest.mark.parametrize(
    ("member", "pointer"),
    [
        ({"name": "left", "length": 2.1}, "/members/0/length"),
        ({"name": "left"}, "/members/0/length"),
        ({"name": "left", "length": 2100, "kept_out": [[10]]}, "/members/0/kept_out/0"),
        ({"name": "left", "length": 2100, "hight": 3}, "/members/0/hight"),
    ],
)
def test_unusable_members_are_named(client, member, pointer):
    assert pointers(client.post(LAYOUT, {"members": [member]})) == [pointer]


# Published: JCGM 106:2012 7.4, measured 13.6 with u 1.8 against 12.5 to 16.3: 0.66.
def test_a_value_between_two_limits(client):
    body = {"measured": 13.6, "standard_uncertainty": 1.8, "lower": 12.5, "upper": 16.3}
    answer = client.post(CONFORMITY, body).json()
    assert answer["probability_conforms"] == pytest.approx(0.6626, abs=5e-5)
    assert answer["decision"] == "inconclusive"
    assert answer["confidence"] == 0.95


def test_one_limit_may_be_missing_but_not_both(client):
    body = {"measured": 1.0, "standard_uncertainty": 0.5}
    assert client.post(CONFORMITY, body | {"upper": 2.0}).json()["decision"] == "pass"
    assert pointers(client.post(CONFORMITY, body)) == ["/upper"]


def test_a_negative_uncertainty_is_refused(client):
    body = {"measured": 1.0, "standard_uncertainty": -0.5, "upper": 2}
    assert pointers(client.post(CONFORMITY, body)) == ["/standard_uncertainty"]


@pytest.mark.parametrize("path", [LAYOUT, CONFORMITY])
def test_who_is_not_signed_in_calculates_nothing(client, path):
    client.credentials()
    assert client.post(path, {}).status_code == 401


@pytest.mark.parametrize(
    ("changes", "pointer"),
    [
        ({"rules": {"max_centres": 1}}, "/rules/max_centres"),
        ({"rules": {"min_fixings": 2.5}}, "/rules/min_fixings"),
        ({"joint_profile": [{"member": "a", "at": 0, "width": 900}]}, "/joint_profile/0/width"),
        ({"packer_thicknesses": [0.01]}, "/packer_thicknesses/0"),
    ],
)
def test_what_nobody_fixes_like_is_not_worked_out(client, changes, pointer):
    body = {"members": [{"name": "a", "length": 2100}]} | changes
    assert pointers(client.post(LAYOUT, body)) == [pointer]


def test_earlier_work_may_be_weighed_with_what_was_measured(client):
    body = {"measured": 1.0, "standard_uncertainty": 0.5, "lower": -1.5, "upper": 1.5}
    good = body | {"workmanship": {"mean": 0.0, "standard_deviation": 0.4}}
    assert client.post(CONFORMITY, body).json()["decision"] == "inconclusive"
    answer = client.post(CONFORMITY, good).json()
    assert answer["decision"] == "pass"
    assert "earlier work" in answer["sources"][-1]


def test_earlier_work_without_spread_is_refused_at_its_field(client):
    wrong = {"mean": 0.0, "standard_deviation": 0}
    body = {"measured": 1.0, "standard_uncertainty": 0.5, "upper": 1.5, "workmanship": wrong}
    assert pointers(client.post(CONFORMITY, body)) == ["/workmanship/standard_deviation"]
