"""What straightedge, square and second instrument read: stored, judged, shown, taken away."""

import json

import pytest

from jobs.models import JournalEntry
from surveys.models import Reading, Survey
from surveys.services.fit_rules import surfaces_of
from tests import factories
from tests.api import pointers, signed_in
from tests.tables import rows_of

pytestmark = pytest.mark.django_db

PATH = "/api/v1/surveys/"
WALLS = {
    "straightedge": [{"side": "left", "hump": 1.5}, {"side": "head", "hump": 0}],
    "splay": [{"side": "left", "at": 100, "value": 1}, {"side": "sill", "at": 1800, "value": -1}],
    "checks": {
        "widths": [{"at": 1050, "value": 3611}],
        "heights": [],
        "known_lengths": [{"length": 1000, "value": 1001}],
    },
    "higher_end": {"sill": "left"},
}


@pytest.fixture
def gauge(office):
    good = {"kind": "gauge", "expanded_uncertainty": 0.2, "coverage_factor": 2}
    return factories.instrument(office, name="Gap gauge", **good)


@pytest.fixture
def second_tape(office):
    return factories.instrument(office, name="Second tape")


@pytest.fixture
def body(survey_body, gauge, second_tape):
    more = {"gap_instrument": str(gauge.pk), "check_instrument": str(second_tape.pk)}
    return survey_body | more | {"readings": factories.READINGS | WALLS}


def test_everything_that_was_read_of_the_walls_comes_back_as_it_was_sent(surveyor, body):
    client = signed_in(surveyor)
    answer = client.post(PATH, body | {"surfaces": {"left": "plaster"}})
    assert answer.status_code == 201, answer.json()
    survey = client.get(f"{PATH}{answer.json()['id']}/").json()
    assert {name: survey["readings"][name] for name in WALLS} == WALLS
    assert survey["surfaces"] == {"left": "plaster"}
    assert survey["gap_instrument"] == body["gap_instrument"]


def test_every_instrument_is_kept_as_good_as_it_was_then(surveyor, body, gauge, second_tape):
    signed_in(surveyor).post(PATH, body)
    used = Survey.objects.get().assessment.measured_with
    assert (used.check_instrument.name, used.gap_instrument.name) == ("Second tape", "Gap gauge")
    assert len(used.all()) == 4


def test_the_journal_has_what_was_read_of_the_walls(surveyor, body):
    signed_in(surveyor).post(PATH, body)
    written = json.loads(JournalEntry.objects.get(type="survey.recorded").text)["body"]
    humps = {r["quantity"]: r["value"] for r in written["readings"]}
    for wall in WALLS["straightedge"]:
        assert humps[f"straightedge_{wall['side']}"] == wall["hump"]
    assert written["higher_end"] == {"sill": "left"}


@pytest.mark.parametrize(
    ("wrong", "pointer"),
    [
        ({"straightedge": [{"side": "floor", "hump": 1}]}, "/straightedge/0/side"),
        ({"straightedge": [{"side": "left", "hump": -1}]}, "/straightedge/0/hump"),
        ({"straightedge": [{"side": "left", "hump": 101}]}, "/straightedge/0/hump"),
        (
            {"straightedge": [{"side": "left", "hump": 1}, {"side": "left", "hump": 8}]},
            "/straightedge/1/hump",
        ),
        ({"splay": [{"side": "left", "at": 3000, "value": 1}]}, "/splay/0/at"),
        (
            {
                "splay": [
                    {"side": "left", "at": 50, "value": 1},
                    {"side": "left", "at": 50, "value": 2},
                ]
            },
            "/splay/1/at",
        ),
        ({"higher_end": {"sill": "middle"}}, "/higher_end/sill"),
    ],
)
def test_what_no_wall_can_be_is_named_and_nothing_is_stored(surveyor, body, wrong, pointer):
    answer = signed_in(surveyor).post(PATH, body | {"readings": factories.READINGS | wrong})
    assert pointers(answer) == [f"/readings{pointer}"]
    assert not Reading.objects.exists()


def test_a_surface_that_nobody_knows_is_named(surveyor, body):
    answer = signed_in(surveyor).post(PATH, body | {"surfaces": {"left": "paper"}})
    assert pointers(answer) == ["/surfaces/left"]


def test_sizes_are_not_checked_with_the_instrument_that_read_them(surveyor, body):
    answer = signed_in(surveyor).post(PATH, body | {"check_instrument": body["instrument"]})
    assert pointers(answer) == ["/check_instrument"]


def test_sizes_that_were_read_again_need_their_instrument(surveyor, body):
    answer = signed_in(surveyor).post(PATH, body | {"check_instrument": None})
    assert pointers(answer) == ["/check_instrument"]


def test_a_laser_reads_no_gap_under_a_straightedge(office, surveyor, body):
    laser = str(factories.instrument(office, **factories.LASER).pk)
    with_laser = body | {"instrument": laser, "gap_instrument": None}
    assert pointers(signed_in(surveyor).post(PATH, with_laser)) == ["/gap_instrument"]
    as_gauge = body | {"gap_instrument": laser}
    assert pointers(signed_in(surveyor).post(PATH, as_gauge)) == ["/gap_instrument"]


def test_each_row_of_the_table_names_what_it_was_read_with(office, surveyor, body):
    signed_in(surveyor).post(PATH, body)
    rows = rows_of(signed_in(office), PATH, "xlsx")
    with_what = {row["Quantity"]: row["Instrument"].partition(" (")[0] for row in rows}
    assert with_what["Width"] == "Tape"
    assert with_what["Straightedge Left"] == "Gap gauge"
    assert with_what["Splay Sill"] == "Gap gauge"
    assert with_what["Width, second instrument"] == "Second tape"
    assert with_what["Rule of known length"] == "Tape"
    humps = [row for row in rows if row["Quantity"] == "Straightedge Left"]
    assert [(row["Place (mm)"], row["Reading (mm)"]) for row in humps] == [(None, 1.5)]


def test_a_straightedge_laid_twice_is_two_readings_where_they_agree(surveyor, body):
    twice = [{"side": "left", "hump": 1.5}, {"side": "left", "hump": 2}]
    readings = factories.READINGS | {"straightedge": twice}
    assert signed_in(surveyor).post(PATH, body | {"readings": readings}).status_code == 201
    assert Reading.objects.filter(quantity="straightedge_left").count() == 2


def test_a_structural_opening_is_what_it_is_made_of_unless_somebody_says_otherwise():
    bare = surfaces_of({"right": "plaster"}, factories.CONDITIONS)
    assert (bare.left, bare.right, bare.head, bare.sill) == (
        "masonry",
        "plaster",
        "steel",
        "concrete",
    )
    plastered = factories.CONDITIONS | {"measured_to": "finished"}
    assert surfaces_of({}, plastered).left == "unknown"
