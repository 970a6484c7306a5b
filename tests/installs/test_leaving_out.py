"""Whatever is added to a job has a way on: it is fitted and handed over, or left out."""

import pytest

from installs.gates import fitting_gates
from installs.models import Handover
from reports.gates import certificate_gate
from surveys.gates import order_gate, removal_gate
from tests import factories
from tests.api import pointers, signed_in

pytestmark = pytest.mark.django_db

REASON = {"reason": "The customer keeps the old doors there"}


@pytest.fixture
def client(office):
    return signed_in(office)


def leave_out(client, opening, body=REASON):
    opening.refresh_from_db()
    path = f"/api/v1/openings/{opening.pk}/leave-out/"
    return client.post(path, body, headers={"If-Match": f'"{opening.version}"'})


def hand_over(fitter, job, *installations):
    body = {
        "job": str(job.pk),
        "customer_name": "Customer Example",
        "unsigned_because": "Signed on paper",
        "keys": {str(installation.pk): 2 for installation in installations},
        "demonstrated": True,
        "care_given": True,
    }
    return signed_in(fitter).post("/api/v1/handovers/", body)


@pytest.fixture
def handed_over(fitter, job, installation):
    """All that the job was until then is fitted and handed over."""
    factories.fitted(fitter, installation)
    assert hand_over(fitter, job, installation).status_code == 201
    return job


def test_an_opening_added_after_the_handover_is_left_out_and_the_certificate_comes(
    client, office, handed_over
):
    assert certificate_gate(handed_over) == []
    added = factories.opening(office, handed_over, "Side wall")
    assert "installation" in {blocker.code for blocker in certificate_gate(handed_over)}
    assert pointers(leave_out(client, added, {"reason": ""})) == ["/reason"]
    answer = leave_out(client, added)
    assert answer.json()["left_out_because"] == REASON["reason"]
    assert certificate_gate(handed_over) == []


def test_an_opening_added_after_the_handover_is_fitted_and_handed_over_too(
    office, fitter, handed_over, installation
):
    added = factories.opening(office, handed_over, "Side wall")
    doorset = factories.released_doorset(office, added)
    second = factories.fitted(fitter, factories.planned(office, fitter, doorset))
    assert "handover" in {blocker.code for blocker in certificate_gate(handed_over)}
    known = hand_over(fitter, handed_over, installation, second)
    assert pointers(known) == [f"/keys/{installation.pk}"]
    assert hand_over(fitter, handed_over, second).status_code == 201
    assert Handover.objects.count() == 2
    assert certificate_gate(handed_over) == []
    assert hand_over(fitter, handed_over, second).status_code == 409


def test_no_gate_waits_for_what_is_left_out_until_it_is_taken_up_again(client, office, job):
    opening = factories.opening(office, job)
    factories.opening(office, job, "Left out").refresh_from_db()
    left_out = job.openings.get(name="Left out")
    waiting = [len(order_gate(job)), len(removal_gate(job)), len(fitting_gates(job)["fixing"])]
    leave_out(client, left_out)
    alone = [len(order_gate(job)), len(removal_gate(job)), len(fitting_gates(job)["fixing"])]
    assert [2 * count for count in alone] == waiting
    left_out.refresh_from_db()
    path = f"/api/v1/openings/{left_out.pk}/take-up/"
    back = client.post(path, headers={"If-Match": f'"{left_out.version}"'})
    assert back.json()["left_out_at"] is None
    assert len(order_gate(job)) == waiting[0]
    assert opening.left_out_at is None


def test_what_is_begun_is_finished_and_not_left_out(client, fitter, installation, job):
    """Or an open defect would go with it."""
    opening = installation.doorset.opening
    factories.done(fitter, installation.steps.order_by("number").first())
    answer = leave_out(client, opening)
    assert answer.status_code == 409
    assert "is finished and handed over" in answer.json()["detail"]


def test_nothing_is_recorded_at_what_is_left_out(client, fitter, installation):
    assert leave_out(client, installation.doorset.opening).status_code == 200
    defect = {
        "installation": str(installation.pk),
        "severity": "critical",
        "description": "A pane may fall",
    }
    answer = signed_in(fitter).post("/api/v1/defects/", defect)
    assert answer.status_code == 409
    assert "left out of the job" in answer.json()["detail"]
