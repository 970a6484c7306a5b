"""What the queue refuses, and when it was done by which clock."""

from datetime import datetime, timedelta
from uuid import uuid4

import pytest
import time_machine
from django.utils import timezone

from installs.models import Defect, Fixing, Inspection, SetAside, SyncOperation
from jobs.models import Job
from tests import factories
from tests.api import pointers, signed_in
from tests.installs.queue_sending import PATH, results, send
from tests.installs.queue_session import Queue, evidence

pytestmark = pytest.mark.django_db


@pytest.fixture
def client(fitter):
    return signed_in(fitter)


# -- refusals ---------------------------------------------------------------------------------


def test_a_closed_gate_refuses_until_it_is_open(client, fitter, installation, queue):
    operation = queue.add(
        "record_fixing",
        str(uuid4()),
        installation=str(installation.pk),
        member="left",
        position=199,
        kind="frame_screw",
        packers=[10, 1],
    )
    (answer,) = send(client, operation)
    assert (answer["result"], answer["problem"]["gate"]) == ("refused", "fixing")
    assert not SyncOperation.objects.exists()
    factories.fitted(fitter, installation, until="fixing")
    assert results(client, operation) == ["applied"]
    assert Fixing.objects.count() == 1


def test_a_refusal_names_the_field_as_the_single_endpoint_does(client, queue_defect):
    operation = queue_defect(severity="cosmetic", colour="red")
    (answer,) = send(client, operation)
    single = client.post("/api/v1/defects/", operation["body"])
    assert answer["problem"] == single.json() | {"detail": answer["problem"]["detail"]}
    assert {error["pointer"] for error in answer["problem"]["errors"]} == {"/colour"}


def test_a_stranger_does_not_see_what_an_operation_is_about(client, office, queue_defect, queue):
    reported = queue_defect()
    send(client, reported)
    stranger = signed_in(factories.person("fitter"))
    (answer,) = send(stranger, queue_defect() | {"after": None})
    assert (answer["result"], answer["problem"]["status"]) == ("refused", 400)
    change = queue.add("put_defect_right", reported["record"], 1, how="x") | {"after": None}
    (answer,) = send(stranger, change)
    assert (answer["result"], answer["problem"]["status"]) == ("refused", 404)
    assert SyncOperation.objects.count() == 1


def test_a_stranger_learns_nothing_of_a_record_with_the_same_id(client, office, queue_defect):
    operation = queue_defect()
    send(client, operation)
    stranger = factories.person("fitter")
    other = factories.installation(office, stranger, factories.job(office))
    body = operation["body"] | {"installation": str(other.pk)}
    (answer,) = send(signed_in(stranger), operation | {"id": str(uuid4()), "body": body})
    assert (answer["result"], answer["theirs"]) == ("refused", None)


def test_a_surveyor_has_a_queue_for_what_a_surveyor_does(queue_defect):
    (answer,) = send(signed_in(factories.person("surveyor")), queue_defect())
    assert (answer["result"], answer["problem"]["status"]) == ("refused", 403)
    assert not Defect.objects.exists()


def test_a_creation_has_no_version_before_it_and_a_change_has_one(client, queue_defect, queue):
    (answer,) = send(client, queue_defect() | {"base_version": 1})
    assert answer["problem"]["errors"][0]["pointer"] == "/base_version"
    reported = queue_defect() | {"after": None}
    change = queue.add("put_defect_right", reported["record"], None, how="polished")
    _, answer = send(client, reported, change)
    assert answer["problem"]["errors"][0]["pointer"] == "/base_version"


def test_the_record_is_named_in_one_place(client, queue_defect):
    (answer,) = send(client, queue_defect(id=str(uuid4())))
    assert answer["problem"]["errors"][0]["pointer"] == "/id"


@pytest.mark.parametrize(
    ("wrong", "pointer"),
    [
        ({"kind": "x" * 41}, "/operations/0/kind"),
        ({"record": "7"}, "/operations/0/record"),
        ({"base_version": 0}, "/operations/0/base_version"),
        ({"made_at": "yesterday"}, "/operations/0/made_at"),
        ({"body": []}, "/operations/0/body"),
        ({"colour": "red"}, "/operations/0/colour"),
    ],
)
def test_what_is_no_operation_is_answered_by_its_place(client, queue_defect, wrong, pointer):
    assert pointers(client.post(PATH, {"operations": [queue_defect() | wrong]})) == [pointer]
    assert not SyncOperation.objects.exists()


def test_a_kind_of_another_release_is_answered_by_itself_and_may_be_set_aside(
    client, job, queue_defect, queue
):
    """The phone keeps it until the service knows it; its person may also have it kept here."""
    unknown = queue.add("sell_doorset", str(uuid4()), job=str(job.pk), customer_name="Customer")
    refused, done = send(client, unknown, queue_defect() | {"after": None})
    assert refused["problem"]["errors"][0]["pointer"] == "/kind"
    assert "sell_doorset" in refused["problem"]["detail"]
    assert (refused["result"], done["result"]) == ("refused", "applied")
    unknown["set_aside_because"] = "the phone is newer"
    assert results(client, unknown) == ["set_aside"]
    kept = SetAside.objects.get()
    assert (kept.kind, kept.job) == ("sell_doorset", job)
    assert "Customer" not in str(kept.body)


def test_an_operation_after_itself_is_none(client, queue_defect):
    operation = queue_defect()
    answer = client.post(PATH, {"operations": [operation | {"after": operation["id"]}]})
    assert pointers(answer) == ["/operations/0/after"]


@pytest.mark.parametrize("number", [0, 201])
def test_a_request_carries_one_to_two_hundred_operations(client, queue_defect, number):
    answer = client.post(PATH, {"operations": [queue_defect() for _ in range(number)]})
    assert pointers(answer) == ["/operations"]


@pytest.mark.parametrize("body", [[], [1], "queue", {"operations": {}}, {"operations": [3]}])
def test_a_body_that_is_no_queue_is_refused(client, body):
    assert client.post(PATH, body).status_code == 400


# -- the clock, and when it was done ------------------------------------------------------------


@pytest.mark.parametrize(
    ("off", "result"),
    [
        (timedelta(minutes=9), "applied"),
        (timedelta(minutes=11), "refused"),
        (timedelta(days=-89), "applied"),
        (timedelta(days=-91), "refused"),
    ],
)
def test_a_clock_that_is_far_off_is_refused(client, queue_defect, off, result):
    now = timezone.now()
    with time_machine.travel(now, tick=False):
        operation = queue_defect() | {"made_at": (now + off).isoformat()}
        (answer,) = send(client, operation)
    assert answer["result"] == result
    if result == "refused":
        assert answer["problem"]["errors"][0]["pointer"] == "/made_at"
        assert answer["problem"]["server_time"] in answer["problem"]["detail"]


def test_what_is_dated_before_its_job_was_taken_on_is_refused(client, job, queue_defect):
    Job.objects.filter(pk=job.pk).update(created_at=timezone.now() - timedelta(days=2))
    early = queue_defect() | {"made_at": (timezone.now() - timedelta(days=3)).isoformat()}
    (answer,) = send(client, early)
    assert answer["result"] == "refused"
    assert answer["problem"]["errors"][0]["pointer"] == "/made_at"
    assert "before the job was taken on" in answer["problem"]["detail"]
    assert not Defect.objects.exists()


def test_an_answer_outlives_the_age_at_which_an_operation_is_too_old(client, fitter, queue_defect):
    operation = queue_defect()
    send(client, operation)
    with time_machine.travel(timezone.now() + timedelta(days=120)):
        assert results(signed_in(fitter), operation) == ["already_applied"]


def test_a_record_keeps_when_it_was_done_on_site(client, queue_defect):
    operation = queue_defect()
    send(client, operation)
    defect = client.get(f"/api/v1/defects/{operation['record']}/").json()
    made_at = datetime.fromisoformat(defect["made_at"])
    assert made_at == datetime.fromisoformat(operation["made_at"])
    assert Defect.objects.get().created_at > made_at


def test_a_time_without_a_zone_is_in_utc(client, queue_defect):
    operation = queue_defect()
    bare = operation["made_at"].removesuffix("+00:00")
    assert results(client, operation | {"made_at": bare}) == ["applied"]
    assert Defect.objects.get().recorded_at.isoformat() == operation["made_at"]


def test_what_is_recorded_with_a_network_has_no_other_time(client, queue_defect):
    operation = queue_defect()
    client.post("/api/v1/defects/", operation["body"])
    assert Defect.objects.get().recorded_at is None


def test_an_instrument_is_judged_on_the_day_it_was_read(client, office, fitter, installation, step):
    """Its calibration ran out before the phone had a network again."""
    tape = factories.instrument(office, calibration_due=timezone.localdate())
    factories.fitted(fitter, installation, until="sill_level")
    operation = Queue(timezone.now()).add(
        "inspect_step", str(uuid4()), **evidence(step("sill_level"), tape)
    )
    with time_machine.travel(timezone.now() + timedelta(days=3)):
        later = signed_in(fitter)
        late = later.post("/api/v1/inspections/", operation["body"])
        assert "/instrument" in pointers(late)
        (answer,) = send(later, operation)
    assert answer["result"] == "applied", answer
    assert Inspection.objects.get(pk=operation["record"]).measured_with.in_calibration is True


def test_no_reading_is_older_than_the_plan_it_answers(client, office, fitter, installation, step):
    """Or an instrument whose calibration ran out would be good again."""
    tape = factories.instrument(office, calibration_due=timezone.localdate() - timedelta(days=5))
    factories.fitted(fitter, installation, until="sill_level")
    operation = Queue(timezone.now() - timedelta(days=8)).add(
        "inspect_step", str(uuid4()), **evidence(step("sill_level"), tape)
    )
    (answer,) = send(client, operation)
    assert answer["result"] == "set_aside"
    assert not Inspection.objects.filter(pk=operation["record"]).exists()
