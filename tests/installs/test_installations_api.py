import json
from uuid import uuid4

import pytest

from installs.models import Installation, PlanStep
from jobs.journal_types import JournalType
from jobs.models import JournalEntry
from tests import factories
from tests.api import pointers, signed_in

pytestmark = pytest.mark.django_db

PATH = "/api/v1/installations/"


@pytest.fixture
def doorset(office, job):
    return factories.released_doorset(office, factories.opening(office, job))


@pytest.fixture
def visit(office, fitter, job):
    return factories.visit(office, job, "fitting", fitter)


@pytest.fixture
def body(doorset, visit):
    return {"id": str(uuid4()), "doorset": str(doorset.pk), "visit": str(visit.pk)}


def test_a_fitter_plans_the_fitting_of_a_doorset(fitter, body, doorset):
    answer = signed_in(fitter).post(PATH, body)
    assert answer.status_code == 201, answer.content
    plan = answer.json()["plan"]
    assert plan["frame"] == {"width": doorset.frame_width, "height": doorset.frame_height}
    assert [member["name"] for member in plan["fixing_layout"]["members"]] == [
        "left",
        "right",
        "head",
        "sill",
    ]
    assert PlanStep.objects.filter(installation=body["id"]).count() > 20


def test_packers_are_made_up_from_the_joint_before_removal(fitter, body, doorset):
    plan = signed_in(fitter).post(PATH, body).json()["plan"]
    decision = doorset.fit_decisions.get(survey__stage="before_removal")
    assert plan["fit_decision"] == str(decision.pk)
    packed = plan["fixing_layout"]["members"][0]["fixings"][0]["packers"]
    assert 0 < packed["thickness"] <= packed["joint_width"]


def test_the_plan_holds_lifts_joints_glazing_and_running_gear(fitter, body):
    plan = signed_in(fitter).post(PATH, body).json()["plan"]
    assert plan["lifts"]["people"] == 1
    assert plan["lifts"]["frame"]["mass"] > 0
    assert [pane["leaf"] for pane in plan["lifts"]["panes"]] == [1, 2, 3, 4, 5]
    # Common practice, no source: where all leaves fold one way, from the second sash in.
    assert plan["glazing"]["order"] == [2, 3, 4, 5, 1]
    assert [joint["joint"] for joint in plan["joints"]] == ["left", "right", "head"]
    assert [row["sealant_class"] for row in plan["joints"][0]["by_sealant_class"]] == [
        7.5,
        12.5,
        20,
        25,
    ]
    (chain,) = plan["running_gear"]["chains"]
    assert chain["jamb"] == "left"
    assert [place["support"] for place in chain["places"]] == [
        "hinge",
        "none",
        "carrier",
        "none",
        "carrier",
        "none",
    ]


def test_steps_are_listed_in_working_order_with_the_places_to_read(fitter, body):
    client = signed_in(fitter)
    client.post(PATH, body)
    steps = client.get("/api/v1/plan-steps/", {"installation": body["id"]}).json()["results"]
    assert [step["number"] for step in steps] == list(range(1, len(steps) + 1))
    places = {step["code"]: [place["place"] for place in step["places"]] for step in steps}
    assert places["diagonals"] == ["rising", "falling"]
    assert places["seal"] == []


def test_the_journal_keeps_the_plan_with_all_its_steps(fitter, body):
    signed_in(fitter).post(PATH, body)
    entry = JournalEntry.objects.get(type=JournalType.INSTALLATION_PLANNED)
    assert '"code":"clear_height"' in entry.text


def test_a_repeat_is_harmless_and_another_body_a_conflict(fitter, office, job, body):
    client = signed_in(fitter)
    assert [client.post(PATH, body).status_code for _ in range(2)] == [201, 200]
    other = factories.visit(office, job, "fitting", fitter)
    assert client.post(PATH, body | {"visit": str(other.pk)}).status_code == 409
    assert Installation.objects.count() == 1


def test_a_doorset_has_one_plan(fitter, body):
    client = signed_in(fitter)
    client.post(PATH, body)
    answer = client.post(PATH, body | {"id": str(uuid4())})
    assert answer.status_code == 409
    assert answer.json()["record"]["id"] == body["id"]


def test_a_doorset_that_was_not_ordered_has_no_plan(office, fitter, job, body):
    draft = factories.doorset(office, factories.opening(office, job))
    answer = signed_in(fitter).post(PATH, body | {"doorset": str(draft.pk)})
    assert pointers(answer) == ["/doorset"]
    assert not Installation.objects.exists()


def test_a_visit_to_another_job_is_refused(office, fitter, body):
    other = factories.visit(office, factories.job(office), "fitting", fitter)
    answer = signed_in(fitter).post(PATH, body | {"visit": str(other.pk)})
    assert pointers(answer) == ["/visit"]


def test_a_survey_visit_is_no_visit_to_fit_on(office, job, body):
    survey_visit = factories.visit(office, job, "survey", factories.person("surveyor"))
    answer = signed_in(office).post(PATH, body | {"visit": str(survey_visit.pk)})
    assert pointers(answer) == ["/visit"]


def test_a_surveyor_may_not_plan_a_fitting(office, job, body):
    surveyor = factories.person("surveyor")
    factories.visit(office, job, "survey", surveyor)
    assert signed_in(surveyor).post(PATH, body).status_code == 403


def test_a_fitter_of_another_job_does_not_see_it(fitter, body):
    signed_in(fitter).post(PATH, body)
    stranger = signed_in(factories.person("fitter"))
    assert stranger.get(f"{PATH}{body['id']}/").status_code == 404
    assert stranger.get("/api/v1/plan-steps/").json()["results"] == []


def test_nothing_is_planned_before_the_removal_gate_opens(office, fitter, job, visit):
    doorset = factories.ordered_doorset(office, factories.opening(office, job))
    answer = signed_in(fitter).post(PATH, {"doorset": str(doorset.pk), "visit": str(visit.pk)})
    assert (answer.status_code, answer.json()["gate"]) == (409, "removal")
    assert not Installation.objects.exists()


def test_steps_of_two_plans_go_on_over_the_pages_at_a_constant_cost(
    office, fitter, job, body, django_assert_max_num_queries
):
    client = signed_in(fitter)
    client.post(PATH, body)
    other = factories.released_doorset(office, factories.opening(office, job))
    client.post(PATH, {"doorset": str(other.pk), "visit": body["visit"]})
    path, seen = "/api/v1/plan-steps/?page_size=25", []
    while path:
        with django_assert_max_num_queries(6):
            page = client.get(path).json()
        seen += [step["id"] for step in page["results"]]
        path = page["next"]
    assert len(seen) == len(set(seen)) == PlanStep.objects.count() > 50


# -- planning anew ----------------------------------------------------------------------------


def replan(client, installation, reason="A third fitter comes along."):
    installation.refresh_from_db()
    path = f"{PATH}{installation.pk}/replan/"
    return client.post(path, {"reason": reason}, headers={"If-Match": f'"{installation.version}"'})


def test_a_plan_is_made_anew_with_its_reason_before_work_begins(
    office, fitter, doorset, visit, body
):
    client = signed_in(fitter)
    client.post(PATH, body)
    installation = Installation.objects.get()
    factories.inspection(fitter, installation.steps.get(code="protect_room"))
    before = list(installation.steps.order_by("number").values_list("code", "number"))
    visit.people.add(factories.person("fitter"), factories.person("fitter"))
    answer = replan(client, installation)
    assert answer.status_code == 200, answer.content
    assert answer.json()["plan"]["lifts"]["people"] == 3
    assert answer.json()["replanned_because"] == "A third fitter comes along."
    assert list(installation.steps.order_by("number").values_list("code", "number")) == before
    assert installation.steps.get(code="protect_room").inspections.count() == 1
    entry = JournalEntry.objects.get(type=JournalType.INSTALLATION_REPLANNED)
    assert [step["code"] for step in json.loads(entry.text)["body"]["steps"]]


def test_a_plan_stands_once_work_has_begun_under_it(fitter, installation):
    factories.fitted(fitter, installation, until="sill_level")
    answer = replan(signed_in(fitter), installation)
    assert answer.status_code == 409
    assert "a defect or a concession" in answer.json()["detail"]


def test_planning_anew_says_why(fitter, installation):
    assert pointers(replan(signed_in(fitter), installation, reason="")) == ["/reason"]


def test_the_plan_says_how_to_fix_into_each_wall(fitter, body):
    plan = signed_in(fitter).post(PATH, body).json()["plan"]
    assert set(plan["substrates"]) == {"left", "right", "head", "sill"}
    assert all(substrate["fixing"] for substrate in plan["substrates"].values())
