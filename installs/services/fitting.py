"""Recording what was fitted: fixings, gaps at junctions, sashes."""

from typing import Any

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from installs.arithmetic.differences import difference_uncertainty
from installs.arithmetic.glazing_plan import check_diagonal
from installs.member_labels import MEMBER_LABELS
from installs.models import Defect, Fixing, Installation, JunctionGap, PlanStep, SashRecord
from installs.services.defects import record_defect
from installs.services.gap_limits import judge_gap
from installs.services.instrument_fit import gap_criteria, require_fit
from installs.services.recording import (
    arithmetic_facts,
    known_leaf,
    lock_installation,
    reading_day,
    require_gate,
    require_on_member,
)
from installs.state import InstallationState
from jobs.errors import Conflict, InvalidField, named
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Person
from jobs.sentences import sentence
from jobs.services.records import store_change, store_new
from surveys.arithmetic.uncertainty import READ_GAPS
from surveys.models import Instrument
from surveys.services.instruments import facts_on, require_reach


def record_fixing(
    *,
    actor: Person,
    idempotency_key: IdempotencyKey,
    installation: Installation,
    member: str,
    position: float,
    kind: str,
    packers: list[float],
) -> Fixing:
    """Record one fixing as it was made, mm; one that is foam alone opens a critical defect.

    Raises `GateClosed` before the fixing gate opens, `InvalidField` for a place beyond the end of
    the member, `Conflict` for one that is recorded already.
    """
    fixing = Fixing(
        **idempotency_key.columns,
        installation=installation,
        member=member,
        position=position,
        kind=kind,
        packers=packers,
        fitter=actor,
    )
    try:
        return _store_fixing(fixing, idempotency_key)
    except IntegrityError:
        same = installation.fixings.filter(member=member, position=position, kind=kind).first()
        if same is None:
            raise
        raise Conflict(_("this fixing is recorded already"), named(same)) from None


@transaction.atomic
def _store_fixing(fixing: Fixing, idempotency_key: IdempotencyKey) -> Fixing:
    fixing.installation = lock_installation(fixing.installation_id)
    require_gate(InstallationState(fixing.installation), PlanStep.Phase.FIXING)
    require_on_member(fixing.installation, fixing.member, fixing.position)
    store_new(fixing, actor=fixing.fitter, entry_type=JournalType.FIXING_RECORDED)
    if not fixing.is_mechanical:
        _open_foam_defect(fixing, idempotency_key.derived("defect"))
    return fixing


@transaction.atomic
def record_gap(
    *,
    actor: Person,
    idempotency_key: IdempotencyKey,
    installation: Installation,
    junction: int,
    head_gap: float,
    sill_gap: float,
    instrument: Instrument,
    temperature: float | None = None,
) -> JunctionGap:
    """Record and judge one round of gaps at a junction, mm; the newest round counts. What both gaps
    together are off twice the leaf gap is judged beside their difference.

    `temperature` of the leaves, C, where the junction closes a chain that grows with the season.
    Raises `GateClosed` before the glazing gate opens and `InvalidField` for a junction that the
    doorset does not have.
    """
    installation = lock_installation(installation.pk)
    require_gate(InstallationState(installation), PlanStep.Phase.GLAZING)
    numbers = [known.number for known in installation.plan.junctions]
    if junction not in numbers:
        raise InvalidField(
            "/junction",
            _("there is no junction {junction}; give 0 to {last}").format(
                junction=junction, last=numbers[-1]
            ),
        )
    gear = installation.plan.running_gear
    rules = installation.rule_set.rules
    day = reading_day(installation, idempotency_key.recorded_at)
    require_fit(gap_criteria(gear.tolerance), READ_GAPS, instrument, rules, day)
    require_reach(instrument, {"/head_gap": head_gap, "/sill_gap": sill_gap})
    facts = arithmetic_facts(instrument)
    u = difference_uncertainty(facts, head_gap - sill_gap)
    verdict = judge_gap(gear, head_gap, sill_gap, facts, rules["decision.confidence"])
    gap = JunctionGap(
        **idempotency_key.columns,
        installation=installation,
        junction=junction,
        head_gap=head_gap,
        sill_gap=sill_gap,
        instrument=instrument,
        measured_with=facts_on(instrument, day),
        fitter=actor,
        standard_uncertainty=u,
        limit=gear.tolerance,
        leaf_gap=gear.leaf_gap,
        together_limit=gear.together_tolerance,
        temperature=temperature,
        probability_conforms=verdict.probability_conforms,
        decision=verdict.decision,
    )
    return store_new(gap, actor=actor, entry_type=JournalType.GAP_RECORDED)


@transaction.atomic
def record_sash(
    *,
    actor: Person,
    idempotency_key: IdempotencyKey,
    installation: Installation,
    leaf: int,
    **done: Any,
) -> SashRecord:
    """Record what was done to one sash. Raises `GateClosed` before the glazing gate opens,
    `InvalidField` for a sash the doorset does not have, `Conflict` for one recorded already."""
    installation = lock_installation(installation.pk)
    require_gate(InstallationState(installation), PlanStep.Phase.GLAZING)
    known_leaf(installation, leaf)
    _check_diagonals(installation, leaf, done)
    if existing := installation.sashes.filter(leaf=leaf).first():
        raise Conflict(
            _("sash {leaf} is recorded already; change that record").format(leaf=leaf),
            named(existing),
        )
    sash = SashRecord(
        **idempotency_key.columns, installation=installation, leaf=leaf, fitter=actor, **done
    )
    return store_new(sash, actor=actor, entry_type=JournalType.SASH_RECORDED)


@transaction.atomic
def change_sash(
    *, actor: Person, sash: SashRecord, expected_version: int, **changes: Any
) -> SashRecord:
    """Record what was done to a sash since."""
    installation = lock_installation(sash.installation_id)
    _check_diagonals(installation, sash.leaf, changes)
    return store_change(
        sash,
        changes | {"fitter": actor},
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.SASH_CHANGED,
    )


def _check_diagonals(installation: Installation, leaf: int, values: dict[str, Any]) -> None:
    """Raises `UnusableInput` for a length that no diagonal of this sash has."""
    size = next(known for known in installation.plan.leaves if known.number == leaf)
    for name in ("rising_diagonal", "falling_diagonal"):
        if values.get(name) is not None:
            check_diagonal(f"/{name}", values[name], size.width, size.height)


def _open_foam_defect(fixing: Fixing, idempotency_key: IdempotencyKey) -> None:
    record_defect(
        actor=fixing.fitter,
        idempotency_key=idempotency_key,
        installation=fixing.installation,
        severity=Defect.Severity.CRITICAL,
        place=f"{fixing.member} {fixing.position:.0f}",
        description=sentence(
            "Only foam holds the {member} at {position:g} mm",
            member=MEMBER_LABELS[fixing.member],
            position=fixing.position,
        ),
    )
