"""The phone's queue: what is noted on site outlives everything, and waits for a person's word."""

from datetime import datetime, timedelta
from uuid import uuid4

import pytest

from fixtures_demo.client import Answer, Client, Refused
from fixtures_demo.queue import InDoubt, Phone, Store, dependencies
from installs.models import Defect, SetAside, SyncOperation
from installs.operations import OPERATIONS, PLACE_FIELDS
from installs.services import defects
from jobs.models import JournalEntry
from tests import factories
from tests.api import signed_in
from tests.installs.queue_session import evidence


class Line(Client):
    """The line between phone and service. `cut` loses what goes out on it, or what comes back."""

    def __init__(self, person):
        super().__init__("http://127.0.0.1")
        self.service = signed_in(person)
        self.cut = ""

    def send(self, method, path, body=None, headers=None):
        if self.cut == "out":
            raise OSError("no network")
        answer = self.service.post(f"/api/v1/{path}", body)
        if self.cut == "back":
            raise OSError("no answer")
        if answer.status_code >= 400:
            raise Refused(answer.status_code, answer.json())
        return Answer(answer.json(), None, answer.content)


pytestmark = pytest.mark.django_db


@pytest.fixture
def office():
    return factories.person("office")


@pytest.fixture
def fitter():
    return factories.person("fitter", username="fitter")


@pytest.fixture
def installation(office, fitter):
    return factories.installation(office, fitter, factories.job(office))


@pytest.fixture
def line(fitter):
    return Line(fitter)


@pytest.fixture
def phone(tmp_path, line):
    return Phone(Store(tmp_path / "queue.sqlite3", "fitter"), line)


@pytest.fixture
def note(phone, installation):
    """Notes a defect on the phone."""

    def add(description, **otherwise):
        body = {"installation": str(installation.pk), "severity": "minor"} | otherwise
        return phone.add("report_defect", description=description, **body)

    return add


def described() -> list[str]:
    return list(Defect.objects.order_by("created_at").values_list("description", flat=True))


def test_what_is_noted_without_a_network_is_sent_in_its_order(phone, line, note):
    line.cut = "out"
    for name in ("first", "second", "third"):
        note(name)
    with pytest.raises(OSError, match="no network"):
        phone.send()
    line.cut = ""
    assert phone.send().results == {"applied": 3}
    assert described() == ["first", "second", "third"]


def test_the_queue_is_there_again_after_the_phone_was_off(phone, line, note, tmp_path):
    noted = note("first")
    again = Store(tmp_path / "queue.sqlite3", "fitter")
    assert [kept.operation for kept in again.all("queued")] == [noted]
    assert Phone(again, line).send().all_done


def test_an_answer_that_was_lost_is_asked_for_again(phone, line, note):
    note("first")
    line.cut = "back"
    with pytest.raises(OSError, match="no answer"):
        phone.send()
    line.cut = ""
    assert phone.send().results == {"already_applied": 1}
    assert described() == ["first"]


def test_a_long_queue_goes_in_several_requests(phone, note):
    for number in range(205):
        note(f"{number}")
    assert phone.send().results == {"applied": 205}


def test_what_is_refused_is_kept_for_a_person_with_its_reason(phone, note):
    bad = note("first", severity="cosmetic")
    phone.change("put_defect_right", bad["record"], 1, how="polished")
    note("second")
    assert phone.send().results == {"refused": 1, "waiting": 1, "applied": 1}
    (kept,) = phone.to_decide
    assert kept.answer["problem"]["errors"][0]["pointer"] == "/severity"
    assert phone.send().results == {"refused": 1, "waiting": 1}


def test_a_refused_operation_is_set_aside_and_what_depends_on_it_goes_on(phone, note, fitter):
    bad = note("first", severity="cosmetic")
    later = phone.add("report_defect", bad["record"], **bad["body"] | {"severity": "minor"})
    assert later["after"] == bad["id"]
    assert phone.send().results == {"refused": 1, "waiting": 1}
    phone.set_aside(bad["id"])
    assert phone.send().results == {"set_aside": 1, "applied": 1}
    kept = SetAside.objects.get()
    assert (str(kept.pk), kept.person, kept.kind) == (bad["id"], fitter, "report_defect")
    assert kept.body["severity"] == "cosmetic"
    assert "severity" in kept.reason or "cosmetic" in kept.reason
    assert JournalEntry.objects.filter(type="operation.set_aside", record_id=kept.pk).exists()
    (here,) = phone.store.all("set_aside")
    assert here.operation["body"] == bad["body"]
    assert phone.to_decide == []


def test_what_was_done_already_is_not_set_aside(phone, line, note):
    noted = note("first")
    line.cut = "back"
    with pytest.raises(OSError, match="no answer"):
        phone.send()
    phone.set_aside(noted["id"])
    line.cut = ""
    assert phone.send().results == {"already_applied": 1}
    assert not SetAside.objects.exists()


def test_a_refused_operation_stops_nothing_else(phone, note):
    note("first")
    note("second", severity="cosmetic")
    note("third")
    assert phone.send().results == {"applied": 2, "refused": 1}
    assert described() == ["first", "third"]


def test_a_refused_operation_is_mended_in_its_place(phone, note, installation):
    bad = note("first", severity="cosmetic")
    phone.change("put_defect_right", bad["record"], 1, how="polished")
    phone.send()
    mended = bad["body"] | {"severity": "major"}
    phone.correct(bad["id"], **mended)
    assert phone.to_decide == []
    assert phone.send().results == {"applied": 2}
    assert Defect.objects.get().put_right_how == "polished"


def test_what_may_be_done_already_is_not_mended(phone, line, note):
    noted = note("first")
    line.cut = "back"
    with pytest.raises(OSError, match="no answer"):
        phone.send()
    with pytest.raises(InDoubt):
        phone.correct(noted["id"], **noted["body"])
    line.cut = ""
    assert phone.send().all_done


@pytest.fixture
def conflict(phone, note, office):
    """A change on the phone of a defect that the office has put right meanwhile."""
    noted = note("first")
    phone.send()
    stored = Defect.objects.get()
    defects.put_right(actor=office, defect=stored, expected_version=1, how="bead replaced")
    defects.reinspect(
        actor=office, defect=stored, expected_version=2, accepted=False, note="still loose"
    )
    change = phone.change("put_defect_right", noted["record"], 1, how="polished")
    assert phone.send().results == {"conflict": 1}
    return change


def test_a_conflict_shows_both_and_holds_nothing_up(phone, note, conflict):
    (kept,) = phone.to_decide
    assert kept.answer["yours"] == {"how": "polished"}
    assert kept.answer["theirs"]["reinspection_note"] == "still loose"
    note("second")
    assert phone.send().results == {"applied": 1}


def test_a_conflict_may_be_left_as_it_is(phone, conflict):
    phone.leave(conflict["id"])
    assert phone.to_decide == []
    assert Defect.objects.get().put_right_how == ""


def test_a_conflict_may_be_done_once_more_on_what_the_other_made_of_it(phone, conflict):
    phone.correct(conflict["id"], how="bead glued")
    assert phone.to_decide == []
    assert phone.send().results == {"applied": 1}
    assert Defect.objects.get().put_right_how == "bead glued"


def test_a_creation_in_conflict_is_not_made_again(phone, line, installation):
    record = str(uuid4())
    body = {"installation": str(installation.pk), "severity": "minor", "description": "A dent"}
    line.service.post("/api/v1/defects/", body | {"id": record})
    phone.add("report_defect", record, **body | {"description": "A scratch"})
    phone.send()
    (kept,) = phone.to_decide
    with pytest.raises(ValueError, match="recorded already"):
        phone.correct(kept.operation["id"], **body)


def test_what_is_no_operation_at_all_is_set_aside_on_the_phone(phone, note):
    note("first")
    bad = phone.add("sell_doorset")
    note("second")
    assert phone.send().results == {"refused": 1, "applied": 2}
    phone.set_aside(bad["id"])
    assert phone.send().results == {"set_aside": 1}
    assert described() == ["first", "second"]


def test_a_gate_that_something_else_opens_lets_what_was_refused_through(
    phone, fitter, installation, office
):
    """The third step is recorded before the second."""
    second, third = installation.steps.order_by("number")[1:3]
    factories.fitted(fitter, installation, until=second.code)
    tape = factories.instrument(office)
    for step in (third, second):
        phone.add("inspect_step", **evidence(step, tape))
    assert phone.send().results == {"applied": 2}
    assert phone.to_decide == []


def test_a_clock_that_is_a_day_ahead_is_put_right_and_both_times_are_kept(phone, note):
    right = phone.now
    phone.now = lambda: right() + timedelta(days=1)
    made_at = datetime.fromisoformat(note("first")["made_at"])
    assert phone.send().all_done
    assert abs(phone.clock_offset_s + timedelta(days=1).total_seconds()) < 60
    stored = SyncOperation.objects.get()
    assert stored.made_at == made_at
    assert abs(stored.recorded_at - right()) < timedelta(minutes=1)
    assert Defect.objects.get().recorded_at == stored.recorded_at


def test_places_are_those_that_the_service_declares():
    declared = {operation.name: operation.follows for operation in OPERATIONS.values()}
    assert PLACE_FIELDS == dependencies.PLACE_FIELDS
    assert {name: kinds for name, kinds in declared.items() if kinds} == dependencies.FOLLOWS


def test_a_throttled_queue_is_sent_later(phone, line, note):
    note("first")
    line.service.credentials()
    with pytest.raises(Refused):
        phone.send()
    assert phone.to_decide == []


def test_nobody_else_sends_a_persons_queue(phone, tmp_path):
    with pytest.raises(PermissionError, match="fitter's"):
        Store(tmp_path / "queue.sqlite3", "mate")
