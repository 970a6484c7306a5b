"""Fixings, gaps at junctions and sashes."""

from uuid import uuid4

import pytest

from installs.gates import fitting_gates, handover_gate
from installs.models import Defect, Fixing, JunctionGap, SashRecord
from surveys.services.instruments import change_instrument
from tests import factories
from tests.api import pointers, signed_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def client(fitter):
    return signed_in(fitter)


@pytest.fixture
def fixing(installation):
    return {
        "id": str(uuid4()),
        "installation": str(installation.pk),
        "member": "left",
        "position": 199,
        "kind": "frame_screw",
        "packers": [10, 1],
    }


@pytest.fixture
def gap(office, installation):
    return {
        "id": str(uuid4()),
        "installation": str(installation.pk),
        "junction": 2,
        "head_gap": 4,
        "sill_gap": 4,
        "instrument": str(factories.instrument(office).pk),
    }


@pytest.fixture
def sash(installation):
    return {
        "id": str(uuid4()),
        "installation": str(installation.pk),
        "leaf": 3,
        "blocks_set": True,
        "brace_set": True,
        "glass_marking": "EN 12150-1 1C2, 1C2",
    }


@pytest.fixture
def ready_to_fix(fitter, installation):
    return factories.fitted(fitter, installation, until="fixing")


@pytest.fixture
def ready_to_glaze(fitter, installation):
    return factories.fitted(fitter, installation, until="glazing")


def codes(blockers) -> set[str]:
    return {blocker.code for blocker in blockers}


def test_a_fixing_is_recorded_once_however_often_it_is_sent(client, ready_to_fix, fixing):
    path = "/api/v1/fixings/"
    assert [client.post(path, fixing).status_code for _ in range(2)] == [201, 200]
    assert client.post(path, fixing | {"position": 210}).status_code == 409
    assert client.post(path, fixing | {"id": str(uuid4())}).status_code == 409
    assert Fixing.objects.count() == 1


def test_no_fixing_is_recorded_before_the_fixing_gate_opens(client, fixing):
    answer = client.post("/api/v1/fixings/", fixing)
    assert answer.status_code == 409
    assert answer.json()["gate"] == "fixing"
    assert not Fixing.objects.exists()


def test_a_fixing_beyond_its_member_is_refused(client, ready_to_fix, fixing):
    answer = client.post("/api/v1/fixings/", fixing | {"position": 2101})
    assert pointers(answer) == ["/position"]
    assert "2100 mm" in answer.json()["detail"]


def test_foam_alone_is_a_critical_defect_and_no_fixing(client, job, ready_to_fix, fixing):
    client.post("/api/v1/fixings/", fixing | {"kind": "foam_only", "packers": []})
    assert Defect.objects.get().severity == "critical"
    left = next(b for b in fitting_gates(job)["glazing"] if b.code == "mechanical_fixing")
    assert "foam is no fixing" in left.why
    assert not left.concedable


def test_glazing_waits_for_every_planned_fixing(job, ready_to_glaze):
    assert fitting_gates(job)["glazing"] == []
    ready_to_glaze.fixings.filter(member="sill").first().delete()
    assert codes(fitting_gates(job)["glazing"]) == {"mechanical_fixing", "fixing_position"}


def test_a_fixing_off_its_place_is_told_apart_from_a_missing_one(job, fitter, ready_to_glaze):
    moved = ready_to_glaze.fixings.filter(member="left").first()
    Fixing.objects.filter(pk=moved.pk).update(position=moved.position - 26)
    (blocker,) = fitting_gates(job)["glazing"]
    assert (blocker.code, blocker.concedable) == ("fixing_position", True)
    Fixing.objects.filter(pk=moved.pk).update(position=moved.position - 25)
    assert fitting_gates(job)["glazing"] == []


def test_equal_gaps_pass_and_unequal_ones_stand_in_the_way(client, job, ready_to_glaze, gap):
    path = "/api/v1/junction-gaps/"
    assert client.post(path, gap).json()["decision"] == "pass"
    for end in ("head_gap", "sill_gap"):
        worse = client.post(path, gap | {"id": str(uuid4()), end: 6}).json()
        assert worse["decision"] == "fail"
    told = [b.what for b in handover_gate(job) if b.code == "junction_gap"]
    assert "put the gaps of junction 2 right and read them again" in told


def test_even_gaps_that_are_not_the_leaf_gap_stand_in_the_way(client, job, ready_to_glaze, gap):
    narrow = client.post("/api/v1/junction-gaps/", gap | {"head_gap": 1, "sill_gap": 1}).json()
    assert (narrow["decision"], narrow["leaf_gap"], narrow["together_limit"]) == ("fail", 4, 2)
    (why,) = [b.why for b in handover_gate(job) if "gaps of junction 2" in b.what]
    assert "both together 2 mm off twice the leaf gap of 4 mm" in why


def test_the_newest_round_of_gaps_counts(client, job, ready_to_glaze, gap):
    path = "/api/v1/junction-gaps/"
    client.post(path, gap | {"head_gap": 6})
    client.post(path, gap | {"id": str(uuid4())})
    assert not [b for b in handover_gate(job) if "junction 2" in b.what]
    assert JunctionGap.objects.count() == 2


def test_a_junction_that_does_not_exist_is_refused(client, ready_to_glaze, gap):
    answer = client.post("/api/v1/junction-gaps/", gap | {"junction": 6})
    assert pointers(answer) == ["/junction"]
    assert "0 to 5" in answer.json()["detail"]


def test_gaps_wait_for_the_glazing_gate(client, ready_to_fix, gap):
    answer = client.post("/api/v1/junction-gaps/", gap)
    assert (answer.status_code, answer.json()["gate"]) == (409, "glazing")


def test_a_sash_that_does_not_exist_is_refused(client, ready_to_glaze, sash):
    answer = client.post("/api/v1/sash-records/", sash | {"leaf": 6})
    assert pointers(answer) == ["/leaf"]
    assert "1 to 5" in answer.json()["detail"]
    assert not SashRecord.objects.exists()


def test_a_sash_is_recorded_once_and_completed_later(client, job, ready_to_glaze, sash):
    path = "/api/v1/sash-records/"
    begun = sash | {"brace_set": False, "glass_marking": ""}
    assert [client.post(path, begun).status_code for _ in range(2)] == [201, 200]
    assert client.post(path, sash | {"id": str(uuid4())}).status_code == 409
    assert "complete sash 3: blocks, brace, glass marking" in [
        blocker.what for blocker in handover_gate(job)
    ]
    change = {"brace_set": True, "glass_marking": "EN 12150-1 1C2, 1C2"}
    own = f"{path}{sash['id']}/"
    assert client.patch(own, change).status_code == 428
    assert client.patch(own, change, headers={"If-Match": '"1"'}).json()["is_complete"]
    assert client.patch(own, change, headers={"If-Match": '"1"'}).status_code == 412
    assert not [b for b in handover_gate(job) if b.code == "sash" and "sash 3" in b.what]


@pytest.mark.usefixtures("ready_to_glaze")
@pytest.mark.parametrize(
    ("marking", "reason"),
    [
        ("1C2", "pane 2 from outside: no class of BS EN 12600 is entered"),
        ("1C2, 2B2", "pane 2 from outside is marked 2(B)2; ordered: toughened"),
        ("3C4, EN 12150-1", "pane 1 from outside: no class of BS EN 12600 is entered"),
    ],
)
def test_glass_that_is_not_shown_to_be_what_was_ordered_keeps_the_handover_shut(
    client, job, sash, marking, reason
):
    """Both panes were ordered toughened, of class 3 at least (Approved Document K, 5.4)."""
    made = client.post("/api/v1/sash-records/", sash | {"glass_marking": marking}).json()
    assert not made["is_complete"]
    [blocker] = [b for b in handover_gate(job) if b.code == "sash" and b.record["id"] == made["id"]]
    assert blocker.what.startswith("read the marking of each pane of sash 3 again")
    assert reason in blocker.why
    assert not blocker.concedable


@pytest.mark.parametrize("name", ["fixings", "junction-gaps", "sash-records", "defects"])
def test_what_is_fitted_is_seen_by_those_who_see_the_job(name, client, office, installation):
    assert client.get(f"/api/v1/{name}/").status_code == 200
    assert signed_in(office).get(f"/api/v1/{name}/").status_code == 200


@pytest.mark.parametrize(
    ("name", "body"), [("fixings", "fixing"), ("junction-gaps", "gap"), ("sash-records", "sash")]
)
def test_a_stranger_does_not_see_the_installation_to_record_at(name, body, request):
    stranger = signed_in(factories.person("fitter"))
    answer = stranger.post(f"/api/v1/{name}/", request.getfixturevalue(body))
    assert pointers(answer) == ["/installation"]


@pytest.mark.parametrize(
    ("name", "body"), [("fixings", "fixing"), ("junction-gaps", "gap"), ("sash-records", "sash")]
)
def test_a_surveyor_records_nothing_fitted(name, body, request):
    surveyor = signed_in(factories.person("surveyor"))
    answer = surveyor.post(f"/api/v1/{name}/", request.getfixturevalue(body))
    assert answer.status_code == 403


def test_screws_in_one_hole_count_as_one_fixing(job, ready_to_glaze):
    left = ready_to_glaze.fixings.filter(member="left").order_by("position")
    for number, fixing in enumerate(left):
        Fixing.objects.filter(pk=fixing.pk).update(position=199 + number)
    found = [b for b in fitting_gates(job)["glazing"] if b.code == "mechanical_fixing"]
    assert [blocker.concedable for blocker in found] == [False]


def test_a_later_delivery_that_is_refused_closes_what_follows(office, job, ready_to_glaze):
    factories.delivery(office, ready_to_glaze.doorset, accepted=False, damage="all broken")
    assert "delivery" in codes(fitting_gates(job)["fixing"]) & codes(handover_gate(job))


def test_a_gap_keeps_the_instrument_as_it_was(client, office, ready_to_glaze, gap):
    client.post("/api/v1/junction-gaps/", gap)
    read = JunctionGap.objects.get()
    due = read.instrument.calibration_due
    change_instrument(
        actor=office,
        instrument=read.instrument,
        expected_version=1,
        calibration_due=due.replace(year=due.year + 1),
    )
    read.refresh_from_db()
    assert read.measured_with.calibration_due == due.isoformat()
