import pytest

from tests import factories
from tests.api import pointers, signed_in

pytestmark = pytest.mark.django_db

PATH = "/api/v1/calculations/opening-fit/"


SIDES = {"left": 2115, "right": 2115, "head": 3612, "sill": 3612}
WALLS_READ = {
    "straightedge": [{"side": side, "hump": 0} for side in SIDES],
    "splay": [
        {"side": side, "at": at, "value": 0}
        for side, length in SIDES.items()
        for at in (50, length - 50)
    ],
}


@pytest.fixture
def client(fitter):
    factories.rule_set()
    return signed_in(fitter)


@pytest.fixture
def request_body():
    return {
        "opening": factories.READINGS | WALLS_READ,
        "instrument": factories.TAPE,
        "level_instrument": factories.LASER,
        "frame": {"width": 3590, "height": 2100},
        "clearance": {"left": 5, "right": 5, "head": 5, "sill": 0},
        "maximum_joint": 20,
        "confidence": 0.95,
    }


def test_anybody_signed_in_asks_whether_a_frame_fits(client, request_body):
    answer = client.post(PATH, request_body)
    assert answer.status_code == 200, answer.content
    assert answer.json()["verdict"] == "fits"


def test_the_answer_has_every_part_of_its_contract(client, request_body):
    answer = client.post(PATH, request_body).json()
    assert set(answer) >= {
        "verdict", "probability_fits", "clear_width", "clear_height", "largest_frame", "placement",
        "joints", "joint_profile", "shape", "suspect_readings", "adjustment", "warnings", "method",
        "walls", "read_next", "critical_places", "wide_joints",
        "rule_set", "sources", "cautions",
    }  # fmt: skip
    assert set(answer["joints"]) == {"left", "right", "head", "sill"}


def test_the_newest_rule_set_is_used_unless_another_is_named(client, request_body):
    assert client.post(PATH, request_body).json()["rule_set"] == factories.NEWEST_RULE_SET
    named = request_body | {"rule_set": "general-2026"}
    assert client.post(PATH, named).json()["rule_set"] == "general-2026"
    assert pointers(client.post(PATH, request_body | {"rule_set": "old"})) == ["/rule_set"]


def test_the_largest_frame_that_is_named_fits_and_a_larger_one_is_not_said_to(client, request_body):
    largest = client.post(PATH, request_body).json()["largest_frame"]
    at_most = client.post(PATH, request_body | {"frame": largest}).json()
    beyond = {"width": largest["width"] + 5, "height": largest["height"]}
    larger = client.post(PATH, request_body | {"frame": beyond}).json()
    assert at_most["verdict"] == "fits"
    assert larger["verdict"] != "fits"


@pytest.mark.parametrize(
    ("wrong", "pointer"),
    [
        ({"frame": {"width": 3.59, "height": 2100}}, "/frame/width"),
        ({"frame": {"width": 3590, "height": -1}}, "/frame/height"),
        ({"confidence": 95}, "/confidence"),
        ({"maximum_joint": None}, "/maximum_joint"),
        ({"instrument": {"kind": "tape"}}, "/instrument/accuracy_class"),
        ({"level_instrument": {"kind": "laser"}}, "/level_instrument/coverage_factor"),
        ({"clearance": {"left": 5, "right": 5, "head": 5}}, "/clearance/sill"),
        ({"colour": "red"}, "/colour"),
        ({"opening": {}}, "/opening/widths"),
        ({"level_instrument": None}, "/level_instrument"),
        ({"opening": []}, "/opening"),
    ],
)
def test_a_request_that_cannot_be_meant_names_the_field(client, request_body, wrong, pointer):
    assert pointer in pointers(client.post(PATH, request_body | wrong))


MORE_READINGS = {
    "straightedge": [{"side": "left", "hump": 1.5}, {"side": "head", "hump": 0}],
    "splay": [{"side": "left", "at": 50, "value": 1.0}, {"side": "sill", "at": 1800, "value": -1}],
    "checks": {
        "widths": [{"at": 1000, "value": 3611}],
        "known_lengths": [{"length": 1000, "value": 1000}],
    },
    "higher_end": {"sill": "left"},
}
MORE = {"surfaces": {"left": "masonry", "head": "steel"}, "check_instrument": factories.TAPE}


def test_a_request_tells_of_bulges_splayed_reveals_surfaces_and_a_second_instrument(
    client, request_body
):
    body = request_body | MORE | {"opening": factories.READINGS | MORE_READINGS}
    answer = client.post(PATH, body)
    assert answer.status_code == 200, answer.content
    assert set(answer.json()) >= {"method", "walls", "read_next", "critical_places"}


@pytest.mark.parametrize(
    ("readings", "pointer"),
    [
        ({"straightedge": [{"side": "floor", "hump": 1}]}, "/opening/straightedge/0/side"),
        ({"straightedge": [{"side": "left", "hump": -1}]}, "/opening/straightedge/0/hump"),
        ({"straightedge": [{"side": "left", "hump": 101}]}, "/opening/straightedge/0/hump"),
        (
            {"straightedge": [{"side": "left", "hump": 1}, {"side": "left", "hump": 8}]},
            "/opening/straightedge/1/hump",
        ),
        ({"splay": [{"side": "left", "at": 2400, "value": 1}]}, "/opening/splay/0/at"),
        ({"splay": [{"side": "sill", "at": 3900, "value": 1}]}, "/opening/splay/0/at"),
        ({"splay": [{"side": "left", "at": 50, "value": 400}]}, "/opening/splay/0/value"),
        ({"checks": {"widths": [{"at": 9, "value": 3611}]}}, "/check_instrument"),
        (
            {"checks": {"known_lengths": [{"length": 1000, "value": 2000}]}},
            "/opening/checks/known_lengths/0/value",
        ),
        ({"higher_end": {"sill": "middle"}}, "/opening/higher_end/sill"),
    ],
)
def test_a_reading_of_a_wall_that_cannot_be_meant_names_the_field(
    client, request_body, readings, pointer
):
    body = request_body | {"opening": factories.READINGS | readings}
    assert pointers(client.post(PATH, body)) == [pointer]


def test_a_surface_that_is_not_known_names_the_field(client, request_body):
    answer = client.post(PATH, request_body | {"surfaces": {"left": "paper"}})
    assert pointers(answer) == ["/surfaces/left"]


def test_numbers_that_are_none_are_refused(client, request_body):
    text = '{"frame": {"width": NaN, "height": Infinity}}'
    answer = client.post(PATH, text, content_type="application/json")
    assert answer.status_code == 400


def test_nobody_calculates_without_signing_in(client, request_body):
    client.credentials()
    assert client.post(PATH, request_body).status_code == 401
