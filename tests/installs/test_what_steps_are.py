"""What a step does follows from what it was drafted as, and from nothing else.

Facts of folding doorsets: common practice, no source.
"""

from dataclasses import asdict, replace
from datetime import timedelta
from typing import get_args

import pytest
from django.utils import timezone

from installs.api.serializers import InspectionCreateSerializer
from installs.conditions import may_be_conceded
from installs.gates import CONDITIONS, gate_of
from installs.labels import ON_THE_MAP
from installs.models import Defect, PlanStep
from installs.plan import draft_steps
from installs.plan.draft import Ask, Gate, MapEntry, Register
from installs.services.inspecting import inspect_step
from jobs.blockers import BlockerCode
from jobs.errors import InvalidField
from jobs.idempotency import IdempotencyKey
from jobs.rule_texts import read_rules, shipped_rule_set_texts
from surveys.arithmetic.uncertainty import InstrumentKind
from surveys.models import Instrument
from tests import factories
from tests.api import signed_in
from tests.installs.test_plan_consistency import FOLDS, RULES, facts_of

REGISTERS, ENTRIES = set(get_args(Register)) - {""}, set(get_args(MapEntry)) - {""}


@pytest.fixture(scope="module")
def plans():
    """Every fold of one to eight leaves, its head fixed in a channel or through the track, with
    and without a toe-and-heel device."""
    return [
        draft_steps(replace(facts_of(fold), head_fixing=head, toe_and_heel_device=device), RULES)
        for fold in FOLDS
        for head in ("in_channel", "through_track")
        for device in (True, False)
    ]


def test_every_plan_closes_each_register_and_enters_each_part_on_the_map_once(plans):
    for steps in plans:
        assert sorted(one.register for one in steps if one.register) == sorted(REGISTERS)
        assert sorted(one.on_the_map for one in steps if one.on_the_map) == sorted(ENTRIES)
        assert sorted(ask for one in steps for ask in one.asks) == sorted(get_args(Ask))


def test_a_step_that_closes_a_register_is_confirmed_by_somebody(plans):
    closing = [step for steps in plans for step in steps if step.register]
    assert all("acknowledgement" in step.evidence for step in closing)


def test_registers_are_closed_in_the_order_of_the_work(plans):
    order = [
        "survey_after_removal",
        "beads_off",
        "fixings",
        "gaps",
        "beads_back",
        "gaps_after_glass",
    ]
    for steps in plans:
        assert [step.register for step in steps if step.register] == order
        entries = [step.on_the_map or step.register for step in steps]
        assert entries.index("sill_fixings") < entries.index("fixings")


def test_the_frame_is_true_before_it_is_fixed_and_straight_before_it_is_glazed(plans):
    true = {"damp_proof_course", "sill_level", "plumb", "level", "diagonals"}
    for steps in plans:
        assert {step.code for step in steps if "fixing" in step.gates} == true
        assert {step.code for step in steps if "glazing" in step.gates} == {"bow", "clear_height"}


def test_the_handover_waits_for_every_step_but_its_own(plans):
    for steps in plans:
        for step in steps:
            assert ("handover" in step.gates) == (step.phase != "handover")


def test_every_gate_that_a_step_names_is_there():
    assert set(get_args(Gate)) == set(CONDITIONS)


def test_only_sashes_without_support_are_critical_and_that_is_a_hold_point(plans):
    for steps in plans:
        (critical,) = [step for step in steps if step.critical]
        assert "never leave one unsupported" in critical.caution
        assert critical.hold_point


def test_sizes_are_read_with_a_tape_or_a_laser_and_deviations_with_anything(plans):
    for steps in plans:
        for step in steps:
            sizes = any(limit.lowest >= 300 for limit in step.criteria.values())
            assert step.instruments == (("tape", "laser") if sizes else ())
    assert list(get_args(InstrumentKind)) == Instrument.Kind.values


def test_every_entry_on_the_map_has_its_words_and_every_ask_its_field():
    assert set(ON_THE_MAP) == ENTRIES
    assert set(get_args(Ask)) <= set(InspectionCreateSerializer().fields)


def test_every_code_that_a_rule_set_lets_the_office_concede_is_one_there_is(plans):
    codes = {step.code for step in plans[0]}
    for text in shipped_rule_set_texts():
        allowed = set(read_rules(text)["concession.allowed"])
        assert allowed <= codes | set(BlockerCode)


def test_a_critical_step_is_never_conceded_whatever_a_rule_set_allows():
    rules = {"concession.allowed": ["support_sashes"]}
    critical = PlanStep(code="support_sashes", critical=True)
    assert not may_be_conceded("support_sashes", rules, critical)
    assert may_be_conceded("support_sashes", rules, PlanStep(code="support_sashes"))


# -- frozen with the plan, whatever the step is called ------------------------------------------


@pytest.fixture
def renamed(installation, step):
    """A step under a code that nobody ever heard of."""

    def rename(code: str) -> PlanStep:
        PlanStep.objects.filter(pk=step(code).pk).update(code="renamed")
        return step("renamed")

    return rename


def record(fitter, step, **changes):
    return inspect_step(
        actor=fitter,
        idempotency_key=IdempotencyKey(),
        step=step,
        **(factories.evidence(fitter, step) | changes),
    )


@pytest.mark.django_db
def test_a_plan_is_stored_with_all_that_its_steps_are(installation):
    for drafted, stored in zip(
        draft_steps(facts_of("5-5-0"), RULES), installation.steps.order_by("number"), strict=True
    ):
        for name in ("gates", "register", "asks", "critical", "on_the_map", "instruments"):
            kept = asdict(drafted)[name]
            assert getattr(stored, name) == (list(kept) if isinstance(kept, tuple) else kept)


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("code", "gate"), [("sill_level", "fixing"), ("bow", "glazing"), ("seal", "handover")]
)
def test_a_gate_waits_for_a_step_of_any_name(installation, renamed, code, gate):
    renamed(code)
    assert "renamed" in {blocker.code for blocker in gate_of(installation, gate)}


@pytest.mark.django_db
def test_a_failure_of_a_critical_step_of_any_name_is_a_critical_defect(
    fitter, installation, renamed
):
    factories.fitted(fitter, installation, until="support_sashes")
    record(fitter, renamed("support_sashes"), acknowledged=False, note="one stands free")
    assert Defect.objects.get().severity == Defect.Severity.CRITICAL


@pytest.mark.django_db
@pytest.mark.parametrize("code", ["beads_off", "running_gear", "beads_back", "gaps_again"])
def test_a_register_is_closed_by_a_step_of_any_name(fitter, installation, renamed, code):
    factories.fitted(fitter, installation, until=code)
    installation.gaps.all().delete()
    with pytest.raises(InvalidField) as refused:
        record(fitter, renamed(code))
    assert refused.value.pointer == "/acknowledged"


@pytest.mark.django_db
def test_foam_of_any_name_fails_where_fixings_are_missing(fitter, installation, renamed):
    factories.fitted(fitter, installation, until="clear_height")
    assert record(fitter, renamed("foam")).outcome == "fail"


@pytest.mark.django_db
def test_what_a_step_of_any_name_asks_for_is_asked_for(fitter, installation, renamed, step):
    factories.fitted(fitter, installation, until="seal")
    sealing, later = renamed("seal"), timezone.localdate() + timedelta(days=9)
    with pytest.raises(InvalidField) as refused:
        record(fitter, sealing)
    assert refused.value.pointer == "/sealant_class"
    assert record(fitter, sealing, sealant_class=25).sealant_class == 25
    PlanStep.objects.filter(pk=step("tape_off").pk).update(code="renamed too")
    assert record(fitter, step("renamed too"), return_on=later).return_on == later


@pytest.mark.django_db
def test_a_size_is_not_read_with_a_gauge(office, fitter, installation, renamed):
    factories.fitted(fitter, installation, until="diagonals")
    gauge = factories.instrument(office, kind="gauge", expanded_uncertainty=0.2, coverage_factor=2)
    with pytest.raises(InvalidField) as refused:
        record(fitter, renamed("diagonals"), instrument=gauge)
    assert (refused.value.pointer, "tape, laser" in refused.value.detail) == ("/instrument", True)


@pytest.mark.django_db
def test_an_instrument_that_would_leave_perfect_work_in_doubt_is_refused(
    office, fitter, installation, step
):
    factories.fitted(fitter, installation, until="bow")
    laser = factories.instrument(office, **factories.LASER)
    with pytest.raises(InvalidField) as refused:
        record(fitter, step("bow"), instrument=laser)
    assert refused.value.pointer == "/instrument"
    assert "of perfect work 10.1 % would pass" in refused.value.detail
    assert "laser good to" in refused.value.detail
    assert not step("bow").inspections.exists()


@pytest.mark.django_db
def test_an_instrument_reads_nothing_beyond_its_reach(office, fitter, installation, step):
    factories.fitted(fitter, installation, until="diagonals")
    short = factories.instrument(office, greatest_reading=100)
    with pytest.raises(InvalidField) as refused:
        record(fitter, step("diagonals"), instrument=short)
    assert refused.value.pointer == "/readings/0/value"
    assert "100 mm at most" in refused.value.detail


@pytest.mark.django_db
def test_a_step_says_what_can_read_it_and_how_good_that_must_be(fitter, installation, step):
    answer = signed_in(fitter).get(f"/api/v1/plan-steps/{step('bow').pk}/").json()
    usable = {one["kind"]: one["greatest_uncertainty"] for one in answer["usable_instruments"]}
    assert usable["tape"] is None
    # A reading of a laser is rounded to a millimetre, that of a gauge is not.
    assert 0.4 < usable["laser"] < usable["gauge"] < 1.0
