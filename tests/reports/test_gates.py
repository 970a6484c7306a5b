"""The gates of a job, as everybody who may see the job reads them."""

from datetime import timedelta

import pytest
import time_machine
from django.utils import timezone

from installs.models import Installation
from installs.services.inspecting import inspect_step
from jobs.figures import day
from jobs.idempotency import IdempotencyKey
from reports.gates import certificate_gate
from reports.models import Document
from tests import factories
from tests.api import signed_in
from tests.reports.fitted import handed_over_job

pytestmark = pytest.mark.django_db

GATES = ["order", "removal", "fixing", "glazing", "handover", "certificate"]


def gates_of(client, job) -> dict[str, dict]:
    answer = client.get(f"/api/v1/jobs/{job.reference}/gates/")
    assert answer.status_code == 200, answer.content
    return {gate["gate"]: gate for gate in answer.json()["gates"]}


def test_all_six_gates_are_listed_in_the_order_they_are_passed(office, job):
    assert list(gates_of(signed_in(office), job)) == GATES


def test_a_blocker_says_what_to_do_why_and_on_which_record(office, job):
    opening = factories.opening(office, job)
    gate = gates_of(signed_in(office), job)["order"]
    assert gate["open"] is False
    blocker = gate["blockers"][0]
    assert blocker["what"]
    assert blocker["why"]
    assert blocker["record"]["id"] == str(opening.pk)


def test_a_job_of_somebody_else_has_no_gates(office, job):
    for role in ("surveyor", "fitter"):
        client = signed_in(factories.person(role))
        assert client.get(f"/api/v1/jobs/{job.reference}/gates/").status_code == 404


def test_a_fitter_reads_the_gates_of_own_jobs(office, job):
    fitter = factories.person("fitter")
    factories.visit(office, job, "fitting", fitter)
    assert list(gates_of(signed_in(fitter), job)) == GATES


def test_nobody_reads_gates_without_signing_in(client, job):
    assert client.get(f"/api/v1/jobs/{job.reference}/gates/").status_code == 401


def test_a_certificate_is_refused_with_what_is_missing(office, job):
    factories.doorset(office, factories.opening(office, job))
    body = {"job": str(job.pk), "kind": "completion_certificate"}
    answer = signed_in(office).post("/api/v1/documents/", body)
    assert answer.status_code == 409
    problem = answer.json()
    assert problem["gate"] == "certificate"
    assert "handover" in [blocker["code"] for blocker in problem["blockers"]]
    assert not Document.objects.exists()


def test_tape_left_inside_waits_for_a_return_visit_to_be_booked(office):
    fitter = factories.person("fitter")
    job = handed_over_job(office, fitter)
    step = Installation.objects.get().steps.get(code="tape_off")
    later = timezone.localdate() + timedelta(days=20)
    inspect_step(
        actor=fitter,
        idempotency_key=IdempotencyKey(),
        step=step,
        **factories.evidence(fitter, step),
        return_on=later,
    )
    (blocker,) = certificate_gate(job)
    assert (blocker.code, day(later) in blocker.what) == ("return_visit", True)
    now = timezone.now()
    over = {"start": now - timedelta(days=2), "end": now - timedelta(days=1)}
    with time_machine.travel(now - timedelta(days=3)):
        factories.visit(office, job, "return", fitter, **over)
    assert [b.code for b in certificate_gate(job)] == ["return_visit"]
    factories.visit(office, job, "return", fitter)
    assert certificate_gate(job) == []
