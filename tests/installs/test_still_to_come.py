"""A minor defect is handed over as still to come, by a day and in words that are signed for."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.test import Client
from django.utils import timezone

from installs.gates import handover_gate
from installs.models import Defect, Handover
from tests import factories
from tests.api import pointers, signed_in
from tests.installs.pages import fill_in, form_of, record

pytestmark = pytest.mark.django_db

PATH = "/api/v1/defects/"
PROMISE = "The bead is replaced; the doorset is used as it is until then."


@pytest.fixture
def client(fitter):
    return signed_in(fitter)


@pytest.fixture
def browser(fitter):
    client = Client()
    client.force_login(fitter)
    return client


@pytest.fixture
def done(fitter, installation):
    return factories.fitted(fitter, installation)


def report(client, installation, severity="minor") -> str:
    body = {
        "id": str(uuid4()),
        "installation": str(installation.pk),
        "severity": severity,
        "description": "Scratch on a bead of leaf 3",
    }
    assert client.post(PATH, body).status_code == 201
    return body["id"]


def in_days(days: int) -> str:
    return (timezone.localdate() + timedelta(days=days)).isoformat()


def leave(client, defect, until=None, promise=PROMISE):
    version = Defect.objects.get(pk=defect).version
    body = {"until": until or in_days(30), "promise": promise}
    path = f"{PATH}{defect}/leave-to-come/"
    return client.post(path, body, headers={"If-Match": f'"{version}"'})


def hand_over(client, installation, *shown: str, **otherwise):
    body = {
        "id": str(uuid4()),
        "job": str(installation.job.pk),
        "customer_name": "Customer Example",
        "signature": [[[10, 40], [25, 8], [34, 44]]],
        "keys": {str(installation.pk): 3},
        "demonstrated": True,
        "care_given": True,
        "to_come": [{"defect": defect, "until": in_days(30)} for defect in shown],
    }
    return client.post("/api/v1/handovers/", body | otherwise)


def codes(installation) -> list[str]:
    return [blocker.code for blocker in handover_gate(installation.job)]


def test_a_minor_defect_that_is_left_to_come_is_not_in_the_way(client, done):
    defect = report(client, done)
    assert codes(done) == ["minor_defect"]
    answer = leave(client, defect)
    assert answer.status_code == 200, answer.content
    assert answer.json()["to_come_by"] == in_days(30)
    assert codes(done) == []


def test_the_signed_record_holds_what_was_accepted_in_words_and_until_when(client, done):
    defect = report(client, done)
    leave(client, defect)
    answer = hand_over(client, done, defect)
    assert answer.status_code == 201, answer.content
    assert answer.json()["to_come"] == [
        {
            "defect": defect,
            "opening": 1,
            "what": "Scratch on a bead of leaf 3",
            "promise": PROMISE,
            "until": in_days(30),
        }
    ]
    assert codes(done) == []


@pytest.mark.parametrize("shown", ["nothing", "another day"])
def test_nobody_signs_for_another_list_than_the_one_on_record(client, done, shown):
    defect = report(client, done)
    leave(client, defect)
    to_come = [] if shown == "nothing" else [{"defect": defect, "until": in_days(29)}]
    answer = hand_over(client, done, to_come=to_come)
    assert pointers(answer) == ["/to_come"]
    assert "Scratch on a bead of leaf 3, by" in answer.json()["detail"]
    assert not Handover.objects.exists()


def test_a_new_minor_defect_after_the_signature_is_not_covered(client, done):
    signed = report(client, done)
    leave(client, signed)
    hand_over(client, done, signed)
    found = report(client, done)
    assert codes(done) == ["minor_defect"]
    answer = leave(client, found)
    assert answer.status_code == 409
    assert "what was signed does not name it" in answer.json()["detail"]
    assert Defect.objects.get(pk=found).found_after == Handover.objects.get()
    assert Defect.objects.get(pk=signed).found_after is None


@pytest.mark.parametrize("severity", ["major", "critical"])
def test_nothing_graver_is_left_to_come(client, done, severity):
    defect = report(client, done, severity)
    answer = leave(client, defect)
    assert answer.status_code == 409
    assert "only a minor defect is left to come" in answer.json()["detail"]
    assert codes(done) == ["defect"]


@pytest.mark.parametrize("days", [-1, 181])
def test_the_day_is_ahead_and_not_too_far_off(client, done, days):
    answer = leave(client, report(client, done), in_days(days))
    assert pointers(answer) == ["/until"]
    assert "give a day from" in answer.json()["detail"]


def test_the_customer_reads_what_they_accept(client, done):
    assert pointers(leave(client, report(client, done), promise="")) == ["/promise"]


def test_a_day_that_is_over_is_named_anew_before_the_handover(client, done):
    defect = report(client, done)
    leave(client, defect)
    Defect.objects.update(to_come_by=timezone.localdate() - timedelta(days=1))
    (blocker,) = handover_gate(done.job)
    assert blocker.what.startswith("put right, or name a later day")


def test_the_list_stands_on_the_page_above_the_signature(client, browser, done):
    defect = report(client, done)
    leave(client, defect)
    address = f"/jobs/{done.job.reference}/handover/"
    page = browser.get(address).content.decode()
    assert page.index(PROMISE) < page.index("Signature of whoever takes it over")
    form = form_of(browser, address, "hand_over")
    assert form.fields["to_come.0.defect"] == defect
    assert form.fields["to_come.0.until"] == in_days(30)
    typed = {"demonstrated": "on", "care_given": "on", f"keys.{done.pk}": "2"}
    told = {"customer_name": "Customer Example", "unsigned_because": "Signed on paper"}
    fill_in(browser, address, form, typed | told)
    assert Handover.objects.get().to_come[0]["promise"] == PROMISE
    assert PROMISE in browser.get(address).content.decode()


def test_a_fitter_leaves_it_to_come_on_its_page(client, browser, done):
    defect = report(client, done)
    address = f"/fittings/{done.pk}/defects/{defect}/"
    record(browser, address, "leave_defect_to_come", promise=PROMISE, until=in_days(10))
    assert Defect.objects.get().to_come_promise == PROMISE
    assert "still to come, by" in browser.get(address).content.decode()


def test_a_queue_repeats_it_without_harm(client, done, queue):
    defect = report(client, done)
    body = {"until": in_days(30), "promise": PROMISE}
    sent = [queue.add("leave_defect_to_come", defect, 1, **body) for _ in range(2)]
    answer = client.post("/api/v1/sync/", {"operations": sent}).json()
    assert [result["result"] for result in answer["results"]] == ["applied", "already_applied"]
