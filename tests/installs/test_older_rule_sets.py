"""A job keeps its rule set; what that set does not know the newest set of its family decides, and
whatever shows such a limit says so."""

from dataclasses import asdict, replace
from typing import Any

import pytest

from installs.frozen import FITTING_PLAN
from installs.gates import fitting_gates
from installs.plan import draft_steps
from installs.services.concessions import concede
from installs.services.planning import fitting_facts, frozen_plan
from jobs.errors import InvalidField
from jobs.idempotency import IdempotencyKey
from jobs.models import RuleSet
from jobs.rules import Rules
from surveys.gates import removal_gate
from tests import factories
from tests.api import signed_in
from tests.older_rule_sets import BY_NEWEST, NEWEST, NEWEST_ISSUED_ON, OLDER, older_rule_set

pytestmark = pytest.mark.django_db

BODIES: dict[str, dict[str, Any]] = {
    "opening-fit": {
        "opening": factories.READINGS,
        "instrument": factories.TAPE,
        "level_instrument": factories.LASER,
        "frame": {"width": 3590, "height": 2100},
        "clearance": {"left": 5, "right": 5, "head": 5, "sill": 0},
        "maximum_joint": 20,
        "confidence": 0.95,
    },
    "doorset": {
        "frame": {"width": 3590, "height": 2100},
        "fold": "5-5-0",
        "opens": "out",
        "profile_system": factories.PROFILE_DATA,
        "glazing": factories.GLAZING,
    },
    "fixing-layout": {"members": [{"name": "left", "length": 2100, "bed_joint_datum": 60}]},
    "conformity": {"measured": 1, "standard_uncertainty": 0.4, "upper": 1.5},
    "glazing-plan": {
        "fold": "3-3-0",
        "leaves": [
            {"number": n, "width": 700, "height": 2000, "glass_mass": 30} for n in (1, 2, 3)
        ],
        "toe_and_heel_device": False,
    },
    "running-gear": {
        "junctions": [
            {"at": 0, "support": "hinge", "head_gap": 5, "sill_gap": 5},
            {"at": 700, "support": "carrier", "head_gap": 7, "sill_gap": 3},
        ],
        "adjustment_range": 3,
        "lift_per_turn": 0.5,
    },
    "packer-advice": {
        "member": "left",
        "length": 2100,
        "fixings": [{"at": 150, "packers": [5]}, {"at": 1950, "packers": [5]}],
        "readings": [{"kind": "plumb", "value": -4, "expanded_uncertainty": 0.6}],
    },
    "lift": {"mass": 40, "people": 2},
    "joint": {
        "member_length": 3000,
        "material": "aluminium",
        "temperature_range": 75,
        "sealant_class": "25",
        "joint_width": 12,
    },
}


@pytest.fixture
def client():
    factories.rule_set()
    return signed_in(factories.person("surveyor"))


def calculated(client: Any, calculation: str, rule_set: str) -> dict[str, Any]:
    body = BODIES[calculation] | {"rule_set": rule_set}
    answer = client.post(f"/api/v1/calculations/{calculation}/", body)
    assert answer.status_code == 200, answer.content
    return answer.json()


def figures(answer: Any) -> Any:
    """What was worked out, without where it comes from."""
    if isinstance(answer, dict):
        kept = answer.keys() - {"rule_set", "rules_from_newer_sets", "sources", "source"}
        return {name: figures(answer[name]) for name in kept}
    return [figures(figure) for figure in answer] if isinstance(answer, list | tuple) else answer


@pytest.mark.parametrize("calculation", BODIES)
def test_a_calculation_without_one_of_its_rules_says_which_set_decides_it(client, calculation):
    by_newest = calculated(client, calculation, NEWEST)
    assert "rules_from_newer_sets" not in by_newest
    older = older_rule_set()
    used = [
        borrowed["rule"]
        for borrowed in calculated(client, calculation, OLDER)["rules_from_newer_sets"]
    ]
    assert used
    for rule in used:
        older.delete()
        older = older_rule_set(without={rule})
        answer = calculated(client, calculation, OLDER)
        borrowed = {"rule": rule, "rule_set": NEWEST, "issued_on": NEWEST_ISSUED_ON}
        assert answer["rules_from_newer_sets"] == [borrowed]
        assert (answer["rule_set"], figures(answer)) == (OLDER, figures(by_newest)), rule


def test_the_thermal_calculation_knows_no_rule_set(client):
    body = {"kind": "glazing", "glazing": factories.GLAZING, "rule_set": OLDER}
    assert client.post("/api/v1/calculations/thermal-transmittance/", body).status_code == 400


def test_a_source_that_another_set_decides_names_that_set(client):
    older_rule_set(without={"fixing.end_max"})
    sources = calculated(client, "fixing-layout", OLDER)["sources"]
    (source_of_limit,) = [source for source in sources if source.startswith("end_max")]
    assert source_of_limit.endswith(f"; fixing.end_max by rule set {BY_NEWEST}")


# The plan and what is judged by it


def without(rule: str, complete: Rules) -> Rules:
    known = {name: rule_known for name, rule_known in complete.rules.items() if name != rule}
    return replace(complete, name=OLDER, rules=known, of_family=lambda: complete.rules)


def test_a_plan_without_one_of_its_rules_is_the_same_and_says_which_set_decides_it():
    office, fitter = factories.person("office"), factories.person("fitter")
    job = factories.job(office)
    doorset = factories.released_doorset(office, factories.opening(office, job))
    visit = factories.visit(office, job, "fitting", fitter)
    complete = job.rule_set.rules
    same = frozen_plan(doorset, visit, complete)
    nothing = replace(complete, rules={}, of_family=lambda: complete.rules)
    frozen_plan(doorset, visit, nothing)
    for rule in nothing.borrowed:
        plan = frozen_plan(doorset, visit, without(rule, complete))
        assert [borrowed.rule for borrowed in plan.rules_from_newer_sets] == [rule]
        assert figures(FITTING_PLAN.plain(plan)) == figures(FITTING_PLAN.plain(same))


def test_every_limit_of_a_step_without_its_rule_names_the_set_that_decides_it():
    office, fitter = factories.person("office"), factories.person("fitter")
    job = factories.job(office)
    doorset = factories.released_doorset(office, factories.opening(office, job))
    visit = factories.visit(office, job, "fitting", fitter)
    complete = factories.rule_set(NEWEST).rules
    facts = fitting_facts(doorset, visit, complete)
    same = [asdict(step) for step in draft_steps(facts, complete)]
    nothing = replace(complete, rules={}, of_family=lambda: complete.rules)
    draft_steps(facts, nothing)
    for rule in nothing.borrowed:
        steps = [asdict(step) for step in draft_steps(facts, without(rule, complete))]
        told = {
            criterion["source"]
            for step, before in zip(steps, same, strict=True)
            for name, criterion in step["criteria"].items()
            if criterion != before["criteria"][name]
        }
        told |= {
            step["caution"]
            for step, before in zip(steps, same, strict=True)
            if step["caution"] != before["caution"]
        }
        assert told, rule
        assert all(f"; {rule} by rule set {BY_NEWEST}" in source for source in told)


# Gates and refusals


@pytest.fixture
def office():
    return factories.person("office")


@pytest.fixture
def fitter():
    return factories.person("fitter")


@pytest.fixture
def knows_nothing() -> RuleSet:
    return older_rule_set()


@pytest.fixture
def installation(office, fitter, knows_nothing):
    return factories.installation(office, fitter, factories.job(office, rule_set=knows_nothing))


def why(blockers: Any, code: str) -> str:
    return next(blocker.why for blocker in blockers if blocker.code == code)


def test_the_gate_of_a_frame_of_another_size_names_the_set(office, knows_nothing):
    opening = factories.opening(office, factories.job(office, rule_set=knows_nothing))
    doorset = factories.ordered_doorset(office, opening)
    factories.delivery(office, doorset, frame={"width": 3630, "height": 2100})
    reason = why(removal_gate(opening.job), "delivered_size")
    assert f"; delivered.size by rule set {BY_NEWEST}" in reason


def test_the_gate_of_missing_fixings_names_the_set(installation):
    reason = why(fitting_gates(installation.job)["glazing"], "mechanical_fixing")
    assert f"; fixing.least_apart by rule set {BY_NEWEST}" in reason


def test_the_gate_of_a_fixing_off_its_place_names_the_set(office, fitter, installation):
    factories.fitted(fitter, installation, until="fixing")
    factories.fixing(fitter, installation, position=3)
    reason = why(fitting_gates(installation.job)["glazing"], "fixing_position")
    assert reason.endswith(f"; fixing.as_fixed by rule set {BY_NEWEST}")


def test_a_gap_is_judged_by_the_limit_of_its_plan_and_the_gate_names_its_set(fitter, installation):
    factories.fitted(fitter, installation, until="glazing")
    gap = factories.gap(fitter, installation, 1, head_gap=4, sill_gap=9)
    assert gap.limit == installation.rule_set.rules["running_gear.gap_difference"]
    blockers = fitting_gates(installation.job)["handover"]
    reason = next(b.why for b in blockers if b.code == "junction_gap" and "head 4" in b.why)
    assert f"; running_gear.gap_difference by rule set {BY_NEWEST}" in reason


def test_what_cannot_be_conceded_is_refused_with_the_set_that_says_so(office, installation):
    with pytest.raises(InvalidField, match=f"; concession.allowed by rule set {BY_NEWEST}"):
        concede(
            actor=office,
            idempotency_key=IdempotencyKey(),
            installation=installation,
            code="mechanical_fixing",
            reason="It holds",
        )
