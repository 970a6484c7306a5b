from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from installs.gates import handover_gate
from installs.models import Defect, Inspection, Reading
from installs.services.inspecting import inspect_step
from jobs.errors import InvalidField
from jobs.idempotency import IdempotencyKey
from jobs.models import JournalEntry
from surveys.models import Survey
from tests import factories
from tests.api import pointers, signed_in

pytestmark = pytest.mark.django_db

PATH = "/api/v1/inspections/"


@pytest.fixture
def client(fitter):
    return signed_in(fitter)


@pytest.fixture
def tape(office):
    return factories.instrument(office)


@pytest.fixture
def square(fitter, installation, step, tape):
    """Makes the body of an inspection of the diagonals, all before them being done."""
    factories.fitted(fitter, installation, until="diagonals")

    def body(rising: float = 4163, falling: float = 4163) -> dict:
        return {
            "id": str(uuid4()),
            "step": str(step("diagonals").pk),
            "instrument": str(tape.pk),
            "readings": [
                {"place": "rising", "value": rising},
                {"place": "falling", "value": falling},
            ],
        }

    return body


def test_readings_are_judged_with_the_uncertainty_of_their_instrument(client, square):
    answer = client.post(PATH, square(4163, 4162))
    assert answer.status_code == 201, answer.content
    inspection = answer.json()
    assert inspection["outcome"] == "pass"
    (reading,) = inspection["readings"]
    assert reading["value"] == 1
    assert reading["measured"] == {"rising": 4163, "falling": 4162}
    assert (reading["lower"], reading["upper"]) == (-2, 2)
    assert reading["standard_uncertainty"] == pytest.approx(0.5)
    # Closed form: P(-2 < x < 2) of a normal distribution at 1 with deviation 0.5 (JCGM 106 7).
    assert reading["probability_conforms"] == pytest.approx(0.97725, abs=1e-4)


def test_a_value_too_close_to_its_limit_is_inconclusive_and_no_defect(client, square):
    assert client.post(PATH, square(4163, 4161)).json()["outcome"] == "inconclusive"
    assert not Defect.objects.exists()


def test_a_failure_opens_a_major_defect_that_says_what_was_found(client, square):
    inspection = client.post(PATH, square(4167, 4163)).json()
    assert inspection["outcome"] == "fail"
    defect = Defect.objects.get()
    assert (defect.severity, str(defect.step_id)) == ("major", inspection["step"])
    assert "diagonal difference 4 mm" in defect.description


def test_a_second_failure_of_a_step_is_the_same_defect(client, square):
    client.post(PATH, square(4167, 4163))
    client.post(PATH, square(4168, 4163))
    assert Inspection.objects.filter(outcome="fail").count() == 2
    assert Defect.objects.count() == 1


def test_passing_later_does_not_close_the_defect(client, square):
    client.post(PATH, square(4167, 4163))
    client.post(PATH, square())
    assert Defect.objects.get().closed_at is None


def test_a_repeat_stores_nothing_twice_and_another_body_is_a_conflict(client, square):
    body = square(4167, 4163)
    assert [client.post(PATH, body).status_code for _ in range(2)] == [201, 200]
    assert client.post(PATH, square() | {"id": body["id"]}).status_code == 409
    assert Inspection.objects.filter(step=body["step"]).count() == 1
    assert Defect.objects.count() == 1


def test_the_journal_entry_of_an_inspection_carries_its_readings(client, square):
    body = square()
    client.post(PATH, body)
    entry = JournalEntry.objects.get(record_id=body["id"])
    assert '"measured":{"falling":4163' in entry.text


@pytest.mark.parametrize(
    ("readings", "pointer"),
    [
        ([{"place": "rising", "value": 4163}], "/readings"),
        (
            [{"place": "rising", "value": 4163}, {"place": "sideways", "value": 1}],
            "/readings/1/place",
        ),
        (
            [{"place": "rising", "value": 4.163}, {"place": "falling", "value": 4163}],
            "/readings/0/value",
        ),
        (
            [{"place": "rising", "value": "4163"}, {"place": "falling", "value": 4163}],
            "/readings/0/value",
        ),
    ],
)
def test_readings_that_do_not_answer_the_step_are_named(client, square, readings, pointer):
    body = square() | {"readings": readings}
    assert pointers(client.post(PATH, body)) == [pointer]
    assert not Inspection.objects.filter(pk=body["id"]).exists()
    assert not Reading.objects.filter(place="diagonal_difference").exists()


def test_readings_without_their_instrument_are_refused(client, square):
    body = square()
    del body["instrument"]
    assert pointers(client.post(PATH, body)) == ["/instrument"]


def test_an_instrument_out_of_calibration_proves_nothing(client, office, square):
    stale = factories.instrument(office, calibration_due="2020-01-31")
    answer = client.post(PATH, square() | {"instrument": str(stale.pk)})
    assert pointers(answer) == ["/instrument"]
    assert "31 January 2020" in answer.json()["detail"]


def test_an_acknowledgement_is_asked_for_where_the_step_wants_one(client, step):
    body = {"step": str(step("protect_room").pk)}
    assert pointers(client.post(PATH, body)) == ["/acknowledged"]
    assert client.post(PATH, body | {"acknowledged": True}).json()["outcome"] == "pass"


def test_what_is_not_in_order_says_why_and_opens_a_defect(client, step):
    body = {"step": str(step("protect_room").pk), "acknowledged": False}
    assert pointers(client.post(PATH, body)) == ["/note"]
    answer = client.post(PATH, body | {"note": "no sheets left"})
    assert answer.json()["outcome"] == "fail"
    assert "no sheets left" in Defect.objects.get().description


def test_an_unsupported_sash_is_a_critical_defect(client, fitter, installation, step):
    factories.fitted(fitter, installation, until="support_sashes")
    body = {"step": str(step("support_sashes").pk), "acknowledged": False, "note": "no props"}
    client.post(PATH, body)
    assert Defect.objects.get().severity == "critical"


def test_checks_are_answered_each_by_its_name(client, fitter, installation, step):
    factories.fitted(fitter, installation, until="locking_plates")
    body = {"step": str(step("locking_plates").pk)}
    assert pointers(client.post(PATH, body)) == ["/checks"]
    fine = {"central": True, "top": True, "bottom": True}
    assert pointers(client.post(PATH, body | {"checks": fine | {"left": True}})) == ["/checks/left"]
    binds = body | {"checks": fine | {"top": False}}
    assert pointers(client.post(PATH, binds)) == ["/note"]
    assert client.post(PATH, binds | {"note": "binds when warm"}).json()["outcome"] == "fail"
    assert "top plate set; the door does not bind: no" in Defect.objects.get().description
    assert client.post(PATH, body | {"checks": fine}).json()["outcome"] == "pass"


def test_beads_are_off_once_each_is_in_the_register(client, fitter, installation, step):
    factories.fitted(fitter, installation, until="beads_off")
    body = {"step": str(step("beads_off").pk), "acknowledged": True}
    answer = client.post(PATH, body)
    assert pointers(answer) == ["/acknowledged"]
    assert "sash 1 top" in answer.json()["detail"]
    factories.done_beside(fitter, step("beads_off"))
    assert client.post(PATH, body).json()["outcome"] == "pass"


def test_a_joint_is_not_filled_over_missing_fixings(client, fitter, installation, step):
    factories.fitted(fitter, installation, until="foam")
    installation.fixings.filter(member="left").first().delete()
    body = {"step": str(step("foam").pk), "acknowledged": True}
    assert client.post(PATH, body).json()["outcome"] == "fail"
    defect = Defect.objects.get()
    assert defect.severity == "major"
    assert "fix the left jamb mechanically, 1 more" in defect.description


def test_tape_may_stay_inside_until_a_named_day_and_nothing_else_may(
    client, fitter, installation, step
):
    factories.fitted(fitter, installation, until="seal")
    day = (timezone.localdate() + timedelta(days=20)).isoformat()
    seal = {"step": str(step("seal").pk), "acknowledged": True, "return_on": day}
    seal["sealant_class"] = 25
    assert pointers(client.post(PATH, seal)) == ["/return_on"]
    factories.inspection(fitter, step("seal"))
    left = {"step": str(step("tape_off").pk), "acknowledged": True, "return_on": day}
    assert pointers(client.post(PATH, left | {"return_on": "2020-01-01"})) == ["/return_on"]
    answer = client.post(PATH, left).json()
    assert (answer["outcome"], answer["return_on"]) == ("pass", day)


def test_a_day_that_came_while_there_was_no_network_was_named_in_time(fitter, installation, step):
    factories.fitted(fitter, installation, until="tape_off")
    inspection = {"actor": fitter, "step": step("tape_off"), "acknowledged": True}
    recorded_at = timezone.now() - timedelta(days=3)
    day = timezone.localdate() - timedelta(days=1)
    stored = inspect_step(
        idempotency_key=IdempotencyKey(recorded_at=recorded_at), return_on=day, **inspection
    )
    assert (stored.outcome, stored.return_on) == ("pass", day)
    with pytest.raises(InvalidField, match="/return_on"):
        inspect_step(
            idempotency_key=IdempotencyKey(recorded_at=recorded_at),
            return_on=day - timedelta(days=3),
            **inspection,
        )


def test_sealing_names_the_class_of_the_sealant(client, fitter, installation, step):
    factories.fitted(fitter, installation, until="seal")
    body = {"step": str(step("seal").pk), "acknowledged": True}
    assert pointers(client.post(PATH, body)) == ["/sealant_class"]
    # Published: ISO 11600 knows classes 7.5, 12.5, 20 and 25.
    assert pointers(client.post(PATH, body | {"sealant_class": 30})) == ["/sealant_class"]
    assert client.post(PATH, body | {"sealant_class": 25}).json()["sealant_class"] == 25


def test_a_photo_that_a_step_wants_is_waited_for_at_the_handover(fitter, job, installation, step):
    factories.fitted(fitter, installation)
    installation.photos.get(step__code="damp_proof_course").delete()
    (missing,) = [blocker for blocker in handover_gate(job) if blocker.code == "photo"]
    assert "damp-proof course" in missing.what
    assert missing.concedable
    factories.site_photo(fitter, step("damp_proof_course"))
    assert "photo" not in {blocker.code for blocker in handover_gate(job)}


def test_a_reading_in_doubt_says_what_would_decide_it(client, fitter, installation, step, tape):
    factories.fitted(fitter, installation, until="diagonals")
    body = {
        "step": str(step("diagonals").pk),
        "instrument": str(tape.pk),
        "readings": [{"place": "rising", "value": 2002}, {"place": "falling", "value": 2000.2}],
    }
    answer = client.post(PATH, body).json()
    assert answer["outcome"] == "inconclusive"
    # Closed form: 0.2 mm within its limit over the 95 % point of the normal distribution, 1.645.
    assert answer["would_settle"] == {"diagonal_difference": pytest.approx(0.2 / 1.645, abs=1e-3)}


def test_evidence_that_the_step_does_not_take_is_refused(client, step, tape):
    done = {"step": str(step("protect_room").pk), "acknowledged": True}
    assert pointers(client.post(PATH, done | {"checks": {"track": True}})) == ["/checks/track"]
    # RFC 6901, 3: ~ and / within a name.
    assert pointers(client.post(PATH, done | {"checks": {"a/b~": True}})) == ["/checks/a~1b~0"]
    assert pointers(client.post(PATH, done | {"instrument": str(tape.pk)})) == ["/instrument"]


def test_the_old_door_stays_in_while_the_removal_gate_is_closed(client, fitter, step):
    Survey.objects.filter(stage="before_removal").update(stage="first")
    answer = client.post(PATH, {"step": str(step("remeasure").pk), "acknowledged": True})
    assert answer.status_code == 409
    assert answer.json()["gate"] == "removal"
    assert [b["code"] for b in answer.json()["blockers"]] == ["survey_before_removal"]
    assert not Inspection.objects.exists()


def test_nothing_passes_a_hold_point_that_has_not_passed(client, step):
    answer = client.post(PATH, {"step": str(step("remove_old_door").pk), "acknowledged": True})
    assert answer.status_code == 409
    assert answer.json()["gate"] == "hold_point"
    assert [b["code"] for b in answer.json()["blockers"]] == ["remeasure"]


def test_a_hold_point_that_failed_holds_as_one_that_was_never_done(client, fitter, step):
    factories.inspection(fitter, step("protect_room"))
    client.post(
        PATH,
        {"step": str(step("remeasure").pk), "acknowledged": False, "note": "a leaf is missing"},
    )
    assert Inspection.objects.filter(step=step("remeasure")).exists()
    answer = client.post(PATH, {"step": str(step("remove_old_door").pk), "acknowledged": True})
    assert answer.status_code == 409
    assert [b["code"] for b in answer.json()["blockers"]] == ["remeasure"]


def test_nothing_is_fixed_before_the_frame_stands_true(client, fitter, installation, step):
    factories.fitted(fitter, installation, until="diagonals")
    answer = client.post(PATH, {"step": str(step("fix_jambs").pk), "acknowledged": True})
    assert answer.status_code == 409
    assert answer.json()["gate"] == "fixing"
    assert {b["code"] for b in answer.json()["blockers"]} == {"diagonals", "support_sashes"}


def test_handover_steps_are_left_to_the_handover(client, step):
    answer = client.post(PATH, {"step": str(step("keys").pk)})
    assert pointers(answer) == ["/step"]


def test_a_step_of_another_fitters_job_does_not_exist(step):
    stranger = signed_in(factories.person("fitter"))
    body = {"step": str(step("protect_room").pk), "acknowledged": True}
    assert pointers(stranger.post(PATH, body)) == ["/step"]


def test_a_surveyor_may_not_inspect(office, job, step):
    surveyor = factories.person("surveyor")
    factories.visit(office, job, "survey", surveyor)
    body = {"step": str(step("protect_room").pk), "acknowledged": True}
    assert signed_in(surveyor).post(PATH, body).status_code == 403


def test_a_list_costs_the_same_number_of_queries_however_long_it_is(
    client, fitter, installation, django_assert_num_queries
):
    factories.fitted(fitter, installation, until="sill_level")
    with CaptureQueriesContext(connection) as few:
        client.get(PATH)
    factories.fitted(fitter, installation, until="beads_off")
    with django_assert_num_queries(len(few)):
        assert len(client.get(PATH).json()["results"]) > 10


def test_what_a_step_asks_for_comes_in_working_order_from_every_database(client, step):
    listed = client.get(f"/api/v1/plan-steps/{step('level').pk}/").json()
    assert [place["place"] for place in listed["places"]] == [
        "left_end",
        "left_quarter",
        "middle",
        "right_quarter",
        "right_end",
    ]
    bow = client.get(f"/api/v1/plan-steps/{step('bow').pk}/").json()["places"]
    assert [place["place"] for place in bow][:3] == [
        "left_jamb_lower_quarter",
        "left_jamb_middle",
        "left_jamb_upper_quarter",
    ]
    plates = client.get(f"/api/v1/plan-steps/{step('locking_plates').pk}/").json()
    assert list(plates["checks"]) == ["central", "top", "bottom"]


@pytest.fixture
def seal(fitter, installation, step):
    factories.fitted(fitter, installation, until="seal")
    return {"step": str(step("seal").pk), "acknowledged": True, "sealant_class": 25}


def test_a_joint_that_is_sealed_too_damp_fails_and_opens_a_defect(client, installation, seal):
    """20 C at 80 % has its dew point at 16.4 C: faces of 18 C are less than 3 C above it."""
    read = {"surface_temperature": 18, "air_temperature": 20, "relative_humidity": 80}
    made = client.post(PATH, seal | read).json()
    assert (made["outcome"], made["surface_temperature"]) == ("fail", 18)
    [defect] = installation.defects.all()
    assert "above the dew point of 16.4 C" in defect.description


def test_a_joint_that_is_sealed_warm_and_dry_passes(client, seal):
    read = {"surface_temperature": 18, "air_temperature": 18, "relative_humidity": 60}
    made = client.post(PATH, seal | read | {"sealant_use_by": "2099-01-01"}).json()
    assert made["outcome"] == "pass"


@pytest.mark.parametrize(
    ("read", "pointer"),
    [
        ({"air_temperature": 20}, "/relative_humidity"),
        ({"air_temperature": 20, "relative_humidity": 50}, "/surface_temperature"),
        ({"relative_humidity": 0}, "/relative_humidity"),
    ],
)
def test_the_dew_point_is_asked_for_as_a_whole(client, seal, read, pointer):
    assert pointers(client.post(PATH, seal | read)) == [pointer]


def test_a_step_that_seals_nothing_takes_no_conditions_of_sealing(client, step):
    body = {"step": str(step("protect_room").pk), "acknowledged": True}
    assert pointers(client.post(PATH, body | {"surface_temperature": 12})) == [
        "/surface_temperature"
    ]
