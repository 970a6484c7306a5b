"""What the opening turns out to be once the old door is out, and what the plan makes of it."""

import pytest
from django.urls import reverse

from installs.gates import gate_of
from installs.models import Inspection
from installs.services.inspecting import inspect_step
from jobs.errors import GateClosed, InvalidField
from jobs.idempotency import IdempotencyKey
from surveys.models import FitDecision
from tests import factories

pytestmark = pytest.mark.django_db

# The sound opening with its left jamb 4 mm further out: as wide everywhere, so 3616.
WIDER = factories.READINGS | {
    "widths": [{"at": at, "value": 3616} for at in (100, 1050, 2000)],
    "diagonals": {"rising": 4189, "falling": 4189},
}
NARROWER = factories.READINGS | {
    "widths": [{"at": at, "value": 3600} for at in (100, 1050, 2000)],
    "diagonals": {"rising": 4175, "falling": 4175},
}


@pytest.fixture
def door_out(fitter, installation):
    return factories.fitted(fitter, installation, until="measure_open_wall")


def measured(office, installation, readings) -> FitDecision:
    doorset = installation.doorset
    survey = factories.survey(office, doorset.opening, stage="after_removal", readings=readings)
    return factories.fit_decision(office, survey, doorset)


def confirm(fitter, step, **values):
    said = {"acknowledged": True} | values
    return inspect_step(actor=fitter, idempotency_key=IdempotencyKey(), step=step, **said)


def test_without_a_survey_it_is_said_what_was_read_by_hand(fitter, door_out, step):
    with pytest.raises(InvalidField, match="/note: no survey with the old door out is on record"):
        confirm(fitter, step("measure_open_wall"))
    done = confirm(fitter, step("measure_open_wall"), note="3612 wide, 2115 high; no network")
    assert done.outcome == "pass"
    door_out.refresh_from_db()
    assert door_out.replanned_because == ""


def test_packers_are_planned_anew_from_what_came_to_light(office, fitter, door_out, step):
    before = door_out.plan
    decision = measured(office, door_out, WIDER)
    confirm(fitter, step("measure_open_wall"))
    door_out.refresh_from_db()
    assert door_out.plan.fit_decision == str(decision.pk) != before.fit_decision
    joint = {one.joint: one.least_width for one in door_out.plan.joints}
    assert joint["left"] > {one.joint: one.least_width for one in before.joints}["left"]
    assert door_out.plan.lifts == before.lifts
    assert door_out.replanned_because == "the opening was measured again with the old door out"


def test_the_steps_that_a_phone_has_in_hand_stay_when_packers_are_planned_anew(
    office, fitter, door_out, step
):
    ids = set(door_out.steps.values_list("pk", flat=True))
    measured(office, door_out, WIDER)
    confirm(fitter, step("measure_open_wall"))
    assert set(door_out.steps.values_list("pk", flat=True)) == ids


def test_a_frame_that_no_longer_fits_is_held_back(office, fitter, door_out, step):
    measured(office, door_out, NARROWER)
    with pytest.raises(InvalidField, match=r"/acknowledged: .*do not force the frame in"):
        confirm(fitter, step("measure_open_wall"), note="It will go in somehow")
    with pytest.raises(GateClosed) as closed:
        factories.inspection(fitter, step("lift_in"))
    assert [blocker.code for blocker in closed.value.blockers] == ["measure_open_wall"]
    assert not Inspection.objects.filter(step__code="lift_in").exists()


def test_a_survey_that_comes_late_still_stops_the_fixing(office, fitter, installation):
    factories.fitted(fitter, installation, until="fixing")
    assert gate_of(installation, "fixing") == []
    measured(office, installation, NARROWER)
    assert [blocker.code for blocker in gate_of(installation, "fixing")] == ["fit"]


def test_what_is_fixed_is_not_planned_anew(office, fitter, installation, step):
    factories.fitted(fitter, installation, until="bow")
    factories.fixing(fitter, installation)
    measured(office, installation, WIDER)
    confirm(fitter, step("measure_open_wall"))
    installation.refresh_from_db()
    assert installation.replanned_because == ""


def test_the_sheet_says_which_survey_the_packers_follow_from(
    client, office, fitter, door_out, step
):
    client.force_login(fitter)
    sheet, page = f"/fittings/{door_out.pk}/", f"/fittings/{door_out.pk}/steps/{{}}/"
    number = step("measure_open_wall").number
    assert "from the survey before the old door came out" in client.get(sheet).content.decode()
    opening = door_out.doorset.opening
    measure = reverse("survey-stage", args=[opening.job.reference, opening.number, "after_removal"])
    assert measure in client.get(page.format(number)).content.decode()
    measured(office, door_out, WIDER)
    confirm(fitter, step("measure_open_wall"))
    assert "from the survey with the old door out." in client.get(sheet).content.decode()
