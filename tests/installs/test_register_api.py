"""The register of beads, the history of the running gear, and fixings against their plan."""

from uuid import uuid4

import pytest

from installs.gates import handover_gate
from installs.models import Bead, CarrierLift
from jobs.journal_types import JournalType
from jobs.models import JournalEntry
from tests import factories
from tests.api import pointers, signed_in

pytestmark = pytest.mark.django_db

BEADS = "/api/v1/beads/"
LIFTS = "/api/v1/carrier-lifts/"


@pytest.fixture
def client(fitter):
    return signed_in(fitter)


# -- beads ------------------------------------------------------------------------------------


@pytest.fixture
def bead(installation):
    return {
        "id": str(uuid4()),
        "installation": str(installation.pk),
        "number": "7",
        "leaf": 2,
        "side": "top",
    }


@pytest.fixture
def beads_off(fitter, installation):
    """An installation that has come to putting its beads back."""
    return factories.fitted(fitter, installation, until="beads_back")


def put_back(client, bead, **body):
    body = {"leaf": bead.leaf, "side": bead.side} | body
    path = f"{BEADS}{bead.pk}/put-back/"
    return client.post(path, body, headers={"If-Match": f'"{bead.version}"'})


def test_a_bead_is_entered_once_with_the_number_written_on_it(client, bead):
    assert [client.post(BEADS, bead).status_code for _ in range(2)] == [201, 200]
    again = bead | {"id": str(uuid4())}
    assert client.post(BEADS, again | {"number": "8"}).status_code == 409
    other = client.post(BEADS, again | {"side": "left"})
    assert pointers(other) == ["/number"]
    assert "another bead of sash 2: top" in other.json()["detail"]
    assert Bead.objects.count() == 1
    assert JournalEntry.objects.filter(type=JournalType.BEAD_TAKEN_OFF).count() == 1


def test_a_bead_of_a_sash_that_does_not_exist_is_refused(client, bead):
    assert pointers(client.post(BEADS, bead | {"leaf": 6})) == ["/leaf"]
    assert pointers(client.post(BEADS, bead | {"side": "front"})) == ["/side"]


def test_a_bead_goes_back_only_where_it_came_from(client, beads_off):
    bead = beads_off.beads.get(leaf=2, side="top")
    wrong_sash = put_back(client, bead, leaf=3)
    assert pointers(wrong_sash) == ["/leaf"]
    assert "belongs to sash 2" in wrong_sash.json()["detail"]
    assert pointers(put_back(client, bead, side="left")) == ["/side"]
    assert put_back(client, bead).json()["put_back_at"]
    bead.refresh_from_db()
    assert put_back(client, bead).status_code == 409


def test_beads_go_back_in_the_order_of_the_trade(client, beads_off):
    # Common practice, no source: top, bottom, left, right.
    left = beads_off.beads.get(leaf=1, side="left")
    answer = put_back(client, left)
    assert pointers(answer) == ["/side"]
    assert "put another bead of sash 1 back first: top" in answer.json()["detail"]
    for side in ("top", "bottom", "left", "right"):
        assert put_back(client, beads_off.beads.get(leaf=1, side=side)).status_code == 200


def test_a_bead_that_is_still_off_stands_in_the_way_of_the_handover(client, job, beads_off):
    assert len([b for b in handover_gate(job) if b.code == "bead"]) == 20
    put_back(client, beads_off.beads.get(leaf=1, side="top"))
    assert len([b for b in handover_gate(job) if b.code == "bead"]) == 19


def test_beads_go_back_after_the_glazing_gate(client, fitter, installation):
    factories.fitted(fitter, installation, until="support_sashes")
    answer = put_back(client, installation.beads.get(leaf=1, side="top"))
    assert (answer.status_code, answer.json()["gate"]) == (409, "glazing")


# -- running gear -----------------------------------------------------------------------------


@pytest.fixture
def glazed(fitter, installation):
    return factories.fitted(fitter, installation, until="running_gear")


@pytest.fixture
def lift(installation):
    return {
        "id": str(uuid4()),
        "installation": str(installation.pk),
        "junction": 2,
        "chain": "left",
        "turns": 1,
    }


def test_turns_are_kept_in_mm_and_add_up_until_the_range_ends(client, glazed, lift):
    gear = glazed.plan.running_gear
    first = client.post(LIFTS, lift)
    assert first.status_code == 201, first.content
    assert first.json()["lift"] == pytest.approx(gear.lift_per_turn)
    most = gear.adjustment_range / gear.lift_per_turn
    too_far = client.post(LIFTS, lift | {"id": str(uuid4()), "turns": most})
    assert pointers(too_far) == ["/turns"]
    assert CarrierLift.objects.count() == 1
    back = client.post(LIFTS, lift | {"id": str(uuid4()), "turns": -1})
    assert back.status_code == 201


@pytest.mark.parametrize(
    ("change", "pointer"),
    [({"junction": 1}, "/junction"), ({"chain": "right"}, "/chain"), ({"turns": 99}, "/turns")],
)
def test_only_carriers_of_the_doorset_can_be_turned(client, glazed, lift, change, pointer):
    assert pointers(client.post(LIFTS, lift | change)) == [pointer]


def test_what_was_turned_leaves_the_carrier_that_much_less_range(client, fitter, glazed, lift):
    gear = glazed.plan.running_gear
    turns = gear.adjustment_range / gear.lift_per_turn
    client.post(LIFTS, lift | {"turns": turns})
    for junction in range(6):
        low = junction in (1, 2, 3)
        factories.gap(fitter, glazed, junction, head_gap=7 if low else 4, sill_gap=4)
    answer = client.get(f"/api/v1/installations/{glazed.pk}/running-gear/").json()
    (carrier,) = [
        adjustment
        for adjustment in answer[0]["advice"]["adjustments"]
        if adjustment["junction"] == 2
    ]
    assert carrier["lift"] == 0
    assert carrier["at_range_end"]


# -- as fixed ---------------------------------------------------------------------------------


def test_fixings_as_made_are_held_against_their_plan(client, fitter, installation):
    factories.fitted(fitter, installation, until="clear_height")
    left = installation.plan.fixing_layout.member("left")
    first, second, *rest = left.positions
    factories.fixing(fitter, installation, member="left", position=second + 100)
    for position in rest:
        factories.fixing(fitter, installation, member="left", position=position, packers=[1])
    factories.fixing(fitter, installation, member="left", position=5, kind="foam_only")
    members = client.get(f"/api/v1/installations/{installation.pk}/as-fixed/").json()
    as_fixed = next(member for member in members if member["member"] == "left")
    assert as_fixed["missing"] == [first]
    assert as_fixed["moved"] == [[second, second + 100]]
    assert as_fixed["added"] == []
    assert as_fixed["foam_only"] == [5]
    assert (as_fixed["planned"], as_fixed["mechanical"]) == (len(left.positions), len(rest) + 1)
    assert [packer["position"] for packer in as_fixed["packers"]] == rest
    assert {packer["used"] for packer in as_fixed["packers"]} == {1}


def test_everything_as_planned_leaves_nothing_to_say(client, fitter, installation):
    factories.fitted(fitter, installation, until="foam")
    for member in client.get(f"/api/v1/installations/{installation.pk}/as-fixed/").json():
        assert (member["missing"], member["added"], member["moved"]) == ([], [], [])


# -- sashes -----------------------------------------------------------------------------------


def test_measured_diagonals_say_how_far_to_lift_the_free_stile(client, fitter, glazed):
    leaf = glazed.plan.leaves[0]
    diagonal = (leaf.width**2 + leaf.height**2) ** 0.5
    body = {
        "installation": str(glazed.pk),
        "leaf": 1,
        "blocks_set": False,
        "brace_set": False,
        "glass_marking": "",
        "rising_diagonal": diagonal - 1,
        "falling_diagonal": diagonal + 1,
    }
    answer = client.post("/api/v1/sash-records/", body)
    assert answer.status_code == 201, answer.content
    # Closed form: difference x diagonal / (2 x height); leaf 1 hangs on the left jamb.
    assert answer.json()["squaring_lift"] == pytest.approx(2 * diagonal / (2 * leaf.height))
    beyond = client.post("/api/v1/sash-records/", body | {"leaf": 2, "rising_diagonal": 500})
    assert pointers(beyond) == ["/rising_diagonal"]
