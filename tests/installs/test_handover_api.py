import json
from uuid import uuid4

import pytest

from installs.gates import fitting_gates, handover_gate
from installs.models import Handover, Inspection
from jobs.journal_types import JournalType
from jobs.models import JournalEntry
from jobs.services.journal_check import find_flaws
from tests import factories
from tests.api import pointers, signed_in

pytestmark = pytest.mark.django_db

PATH = "/api/v1/handovers/"


@pytest.fixture
def client(fitter):
    return signed_in(fitter)


@pytest.fixture
def body(job, installation):
    return {
        "id": str(uuid4()),
        "job": str(job.pk),
        "customer_name": "Customer Example",
        "signature": [[[10, 40], [25, 8], [34, 44]]],
        "keys": {str(installation.pk): 3},
        "demonstrated": True,
        "care_given": True,
    }


@pytest.fixture
def done(fitter, installation):
    return factories.fitted(fitter, installation)


def test_a_handover_is_signed_or_says_why_it_is_not(client, done, body):
    unsigned = body | {"signature": []}
    assert pointers(client.post(PATH, unsigned)) == ["/unsigned_because"]
    del unsigned["signature"]
    assert pointers(client.post(PATH, unsigned)) == ["/unsigned_because"]
    both = body | {"unsigned_because": "Signed on paper"}
    assert pointers(client.post(PATH, both)) == ["/unsigned_because"]
    told = client.post(PATH, unsigned | {"unsigned_because": "Signed on paper"})
    assert (told.status_code, told.json()["unsigned_because"]) == (201, "Signed on paper")


def test_a_job_is_handed_over_once_everything_is_done(client, done, body):
    assert [client.post(PATH, body).status_code for _ in range(2)] == [201, 200]
    assert client.post(PATH, body | {"customer_name": "Other"}).status_code == 409
    again = client.post(PATH, body | {"id": str(uuid4())})
    assert again.status_code == 409
    assert again.json()["record"]["id"] == body["id"]
    assert Handover.objects.count() == 1


def test_the_handover_records_the_last_steps_of_the_plan(client, done, body):
    client.post(PATH, body)
    last = Inspection.objects.filter(step__phase="handover").order_by("step__number")
    assert [(i.step.code, i.outcome, i.count) for i in last] == [
        ("demonstration", "pass", None),
        ("keys", "pass", 3),
    ]


def test_the_handover_gate_stays_clear_afterwards(client, job, done, body):
    client.post(PATH, body)
    assert handover_gate(job) == []


def test_a_job_is_not_handed_over_while_anything_is_left(client, fitter, installation, body):
    factories.fitted(fitter, installation, until="seal")
    answer = client.post(PATH, body)
    assert answer.status_code == 409
    assert answer.json()["gate"] == "handover"
    assert [b["code"] for b in answer.json()["blockers"]] == ["seal", "tape_off", "clean"]
    assert not Handover.objects.exists()


def test_an_opening_that_was_not_fitted_holds_the_whole_job_up(client, office, job, done, body):
    factories.opening(office, job, "Side return")
    answer = client.post(PATH, body)
    assert [b["code"] for b in answer.json()["blockers"]] == ["installation"]


@pytest.mark.parametrize("name", ["demonstrated", "care_given"])
def test_the_customer_is_shown_and_told_everything_first(client, done, body, name):
    assert pointers(client.post(PATH, body | {name: False})) == [f"/{name}"]


def test_keys_are_counted_for_every_installation_and_no_other(client, done, body):
    assert pointers(client.post(PATH, body | {"keys": {}})) == ["/keys"]
    stray = str(uuid4())
    keys = body["keys"] | {stray: 1}
    assert pointers(client.post(PATH, body | {"keys": keys})) == [f"/keys/{stray}"]
    none = {next(iter(body["keys"])): 0}
    assert pointers(client.post(PATH, body | {"keys": none})) == [f"/keys/{next(iter(none))}"]
    assert not Inspection.objects.filter(step__phase="handover").exists()


def test_a_signature_is_strokes_of_points(client, done, body):
    assert pointers(client.post(PATH, body | {"signature": [[[10]]]})) == ["/signature/0/0"]


def test_the_journal_never_holds_the_customers_name_or_signature(client, done, body):
    client.post(PATH, body)
    entry = JournalEntry.objects.get(type=JournalType.JOB_HANDED_OVER)
    assert "Customer Example" not in entry.text
    # Nor a digest of the whole request, by which a guessed name could be confirmed.
    recorded = json.loads(entry.text)["body"]
    for sealed in ("customer_name", "signature", "creation_digest"):
        assert recorded[sealed].startswith("hmac-sha256:")


def test_every_chain_of_the_journal_holds_after_a_whole_fitting(client, done, body):
    client.post(PATH, body)
    assert list(find_flaws()) == []


def test_who_does_not_see_the_job_cannot_hand_it_over(done, body, office, job):
    stranger = signed_in(factories.person("fitter"))
    assert pointers(stranger.post(PATH, body)) == ["/job"]
    surveyor = factories.person("surveyor")
    factories.visit(office, job, "survey", surveyor)
    assert signed_in(surveyor).post(PATH, body).status_code == 403


def test_a_doorset_of_two_chains_is_fitted_under_the_general_limits(office, fitter):
    job = factories.job(office, rule_set=factories.rule_set("general-2026-3"))
    order = {"fold": "5-2-3", "head_fixing": "through_track"}
    factories.fitted(fitter, factories.installation(office, fitter, job, **order))
    assert handover_gate(job) == []


# -- the gates of a whole job -----------------------------------------------------------------


@pytest.mark.parametrize("gate", ["fixing", "glazing", "handover"])
def test_a_job_without_openings_passes_no_gate(gate, job):
    assert [blocker.code for blocker in fitting_gates(job)[gate]] == ["opening"]


@pytest.mark.parametrize("gate", ["fixing", "glazing", "handover"])
def test_an_opening_without_a_planned_fitting_is_named(gate, office, job):
    opening = factories.opening(office, job)
    (blocker,) = fitting_gates(job)[gate]
    assert (blocker.code, blocker.record["id"]) == ("installation", str(opening.pk))


def test_gates_open_one_after_the_other(fitter, job, installation):
    assert fitting_gates(job)["fixing"]
    factories.fitted(fitter, installation, until="fixing")
    assert fitting_gates(job)["fixing"] == []
    assert fitting_gates(job)["glazing"]


def test_glazing_waits_for_the_hold_points_before_it(fitter, job, installation):
    held_up = {b.code: b for b in fitting_gates(job)["glazing"]}
    assert {"remeasure", "lift_in", "support_sashes", "bow", "clear_height"} <= set(held_up)
    assert not held_up["support_sashes"].concedable
