"""The queue of a fitter's phone: each operation once, in its order, and nothing behind a gate."""

from uuid import UUID, uuid4, uuid5

import pytest

from installs.models import Defect, Inspection, JunctionGap, SashRecord, SyncOperation
from installs.operations import OPERATIONS
from installs.services import defects
from jobs.services.journal_check import find_flaws
from tests import factories, walker
from tests.api import signed_in
from tests.installs.queue_sending import PATH, results, send
from tests.installs.queue_session import Queue, evidence

pytestmark = pytest.mark.django_db

UNMARKED = walker.SASH | {"glass_marking": ""}


@pytest.fixture
def client(fitter):
    return signed_in(fitter)


# -- once, and in its order -------------------------------------------------------------------


def test_an_operation_is_applied_once_however_often_it_is_sent(client, queue_defect):
    operation = queue_defect()
    assert results(client, operation, operation) == ["applied", "already_applied"]
    assert results(client, operation) == ["already_applied"]
    (defect,) = Defect.objects.all()
    assert str(defect.pk) == operation["record"]
    assert list(find_flaws()) == []


def test_a_repeat_is_told_the_version_that_it_made(client, queue_defect, queue):
    operation = queue_defect()
    (first,) = send(client, operation)
    send(client, queue.add("put_defect_right", operation["record"], 1, how="polished"))
    (again,) = send(client, operation)
    assert again == first | {"result": "already_applied"}
    assert (again["record"], again["version"]) == (operation["record"], 1)


def test_an_operation_waits_for_the_one_before_it_and_nothing_is_stored(client, queue_defect):
    first, second = queue_defect(), queue_defect()
    (answer,) = send(client, second)
    assert (answer["result"], answer["waiting_for"]) == ("waiting", first["id"])
    assert not SyncOperation.objects.exists()
    assert results(client, second, first, second) == ["waiting", "applied", "applied"]


def test_an_operation_never_follows_one_of_another_person(
    client, installation, office, queue_defect
):
    theirs = Queue()
    body = {"installation": str(installation.pk), "severity": "minor", "description": "A dent"}
    own = theirs.add("report_defect", str(uuid4()), **body) | {"id": str(uuid4())}
    assert results(signed_in(office), own) == ["applied"]
    assert results(client, queue_defect() | {"after": own["id"]}) == ["waiting"]


def test_one_bad_operation_never_stops_those_that_do_not_wait_for_it(client, queue_defect):
    bad, behind = queue_defect(severity="cosmetic"), queue_defect()
    apart = queue_defect() | {"after": None}
    assert results(client, bad, behind, apart) == ["refused", "waiting", "applied"]
    assert Defect.objects.count() == 1


def test_an_id_with_another_content_is_refused(client, queue_defect):
    operation = queue_defect()
    send(client, operation)
    changed = operation | {"body": operation["body"] | {"severity": "major"}}
    (answer,) = send(client, changed)
    assert (answer["result"], answer["problem"]["status"]) == ("refused", 409)
    assert "another content" in answer["problem"]["detail"]
    assert Defect.objects.get().severity == "minor"


def test_an_id_of_somebody_else_is_refused(client, office, queue_defect):
    operation = queue_defect()
    send(client, operation)
    (answer,) = send(signed_in(office), operation)
    assert (answer["result"], answer["problem"]["status"]) == ("refused", 409)
    assert SyncOperation.objects.count() == 1


def test_what_the_single_endpoint_stored_before_is_applied_already(client, queue_defect):
    operation = queue_defect()
    client.post("/api/v1/defects/", operation["body"] | {"id": operation["record"]})
    assert results(client, operation) == ["already_applied"]
    assert Defect.objects.count() == 1


# -- conflicts --------------------------------------------------------------------------------


def test_a_change_of_what_was_changed_meanwhile_tells_both(client, office, queue_defect, queue):
    reported = queue_defect()
    send(client, reported)
    defect = Defect.objects.get()
    defects.put_right(actor=office, defect=defect, expected_version=1, how="bead replaced")
    operation = queue.add("put_defect_right", str(defect.pk), 1, how="polished")
    (answer,) = send(client, operation)
    assert (answer["result"], answer["version"]) == ("conflict", 2)
    assert answer["yours"] == {"how": "polished"}
    assert answer["theirs"]["put_right_how"] == "bead replaced"
    assert send(client, operation) == [answer]
    assert Defect.objects.get().put_right_how == "bead replaced"


def test_an_answer_to_a_conflict_stays_what_it_was(client, office, queue_defect, queue):
    send(client, queue_defect())
    defect = Defect.objects.get()
    defects.put_right(actor=office, defect=defect, expected_version=1, how="bead replaced")
    operation = queue.add("put_defect_right", str(defect.pk), 1, how="polished")
    first = send(client, operation)
    defects.reinspect(actor=office, defect=defect, expected_version=2, accepted=True)
    assert send(client, operation) == first


def test_a_record_that_somebody_made_otherwise_is_a_conflict(
    client, installation, office, queue_defect
):
    operation = queue_defect()
    signed_in(office).post(
        "/api/v1/defects/",
        operation["body"] | {"id": operation["record"], "description": "A dent"},
    )
    (answer,) = send(client, operation)
    assert answer["result"] == "conflict"
    assert answer["yours"]["description"] == "Scratch on a bead of leaf 3"
    assert answer["theirs"]["description"] == "A dent"


def test_what_follows_a_conflict_is_done(client, office, queue_defect, queue):
    send(client, queue_defect())
    defect = Defect.objects.get()
    defects.put_right(actor=office, defect=defect, expected_version=1, how="bead replaced")
    conflict = queue.add("put_defect_right", str(defect.pk), 1, how="polished")
    assert results(client, conflict, queue_defect()) == ["conflict", "applied"]


def test_a_version_that_there_has_not_been_yet_is_refused(client, queue_defect, queue):
    send(client, reported := queue_defect())
    operation = queue.add("put_defect_right", reported["record"], 7, how="polished")
    (answer,) = send(client, operation)
    assert (answer["result"], answer["problem"]["status"]) == ("refused", 412)
    assert SyncOperation.objects.count() == 1


def test_a_conflict_keeps_nothing_that_a_customer_may_ask_to_be_erased(
    client, fitter, installation, job, queue
):
    factories.fitted(fitter, installation)
    told = {
        "job": str(job.pk),
        "keys": {str(installation.pk): 3},
        "customer_name": "Customer Example",
        "demonstrated": True,
        "care_given": True,
        "unsigned_because": "Signed on paper",
    }
    record = str(uuid4())
    client.post("/api/v1/handovers/", told | {"id": record})
    (answer,) = send(
        client, queue.add("hand_over", record, **told | {"customer_name": "Customer Exampel"})
    )
    assert answer["result"] == "conflict"
    assert not {"customer_name", "signature"} & set(answer["theirs"])
    assert "Customer" not in str(SyncOperation.objects.values())


# -- what the service adds by itself ------------------------------------------------------------


def test_a_failure_opens_its_defect_under_an_id_that_the_phone_can_work_out(
    client, fitter, office, step, queue
):
    factories.fitted(fitter, step("diagonals").installation, until="diagonals")
    failed = queue.add(
        "inspect_step",
        str(uuid4()),
        **evidence(step("diagonals"), factories.instrument(office), rising=2040, falling=2000),
    )
    defect = str(uuid5(UUID(failed["record"]), "defect"))
    right = queue.add("put_defect_right", defect, 1, how="eased at the head")
    again = queue.add("reinspect_defect", defect, 2, accepted=True)
    assert results(client, failed, right, again) == ["applied", "applied", "refused"]
    stored = Defect.objects.get()
    assert (str(stored.pk), stored.recorded_at) == (
        defect,
        Inspection.objects.get(pk=failed["record"]).recorded_at,
    )
    assert stored.put_right_at
    assert not stored.closed_at


def test_gaps_and_sashes_are_recorded_and_changed(client, fitter, office, installation, queue):
    factories.fitted(fitter, installation, until="glazing")
    own = {"installation": str(installation.pk)}
    tape = str(factories.instrument(office).pk)
    queue.add(
        "record_gap", str(uuid4()), **own, junction=2, head_gap=4, sill_gap=4, instrument=tape
    )
    sash = queue.add("record_sash", str(uuid4()), **own, **UNMARKED, leaf=3)
    queue.add("change_sash", sash["record"], 1, glass_marking="EN 12150-1 1C2, 1C2")
    queue.add("change_sash", sash["record"], 2)
    *done, empty = send(client, *queue.operations)
    assert [answer["result"] for answer in done] == ["applied"] * 3
    assert "give at least one field" in empty["problem"]["detail"]
    assert JunctionGap.objects.get().recorded_at
    assert SashRecord.objects.get().is_complete


def test_a_fault_of_the_service_stores_nothing_of_its_operation(
    client, queue_defect, monkeypatch: pytest.MonkeyPatch
):
    """The record and its answer are stored together or not at all."""
    operation = queue_defect()
    client.raise_request_exception = False
    with monkeypatch.context() as broken:
        broken.setattr(SyncOperation.objects, "create", lambda **_: 1 / 0)
        assert client.post(PATH, {"operations": [operation]}).status_code == 500
    assert not Defect.objects.exists()
    assert results(client, operation) == ["applied"]


def test_a_queue_has_kinds_for_all_that_a_fitter_records(client):
    schema = client.get("/api/v1/schema/?format=json").json()
    operation = schema["paths"]["/api/v1/sync/"]["post"]
    assert operation["requestBody"]["content"]["application/json"]["examples"]
    kind = schema["components"]["schemas"]["OperationRequest"]["properties"]["kind"]
    assert all(name in kind["description"] for name in OPERATIONS)
    assert len(OPERATIONS) == 16
