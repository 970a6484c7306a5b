"""What every recording at an installation goes through first: lock, gate, instrument."""

from datetime import date, datetime
from typing import Literal, cast
from uuid import UUID

from django.utils import timezone
from django.utils.translation import gettext as _

from installs.conditions import hold_points_before
from installs.gates import CONDITIONS
from installs.member_labels import MEMBER_LABELS
from installs.models import Installation, PlanStep
from installs.state import InstallationState
from jobs.errors import Blocker, Conflict, GateClosed, InvalidField, named
from jobs.figures import number
from jobs.translation import translated
from surveys.arithmetic.uncertainty import Instrument as InstrumentFacts
from surveys.models import Instrument


def lock_installation(key: UUID) -> Installation:
    """The installation under its row lock, so that what is judged about it stays as it was read.

    Raises `Conflict` where its opening is left out of the job.
    """
    locked = Installation.objects.select_for_update(of=("self",), no_key=True)
    joined = locked.select_related("rule_set", "doorset__opening__job__rule_set")
    installation = joined.get(pk=key)
    if installation.doorset.opening.left_out_at:
        opening = installation.doorset.opening
        raise Conflict(_("its opening is left out of the job; take it up first"), named(opening))
    return installation


def require_in_plan(step: PlanStep) -> None:
    """Raises `InvalidField` for a step that a new plan replaced after it was read and before the
    installation was locked."""
    if not PlanStep.objects.filter(pk=step.pk).exists():
        raise InvalidField("/step", _("the plan was made anew meanwhile; read its steps again"))


def require_gate(state: InstallationState, phase: str) -> None:
    """Raises `GateClosed` while something is in the way of recording in a phase."""
    name, blockers = _gate_of_phase(state, phase)
    if blockers:
        raise GateClosed(name, blockers)


def require_hold_points(state: InstallationState, step: PlanStep) -> None:
    """Raises `GateClosed` while a hold point before this step has not passed."""
    if blockers := hold_points_before(state, step):
        raise GateClosed("hold_point", blockers)


def reading_day(installation: Installation, recorded_at: datetime | None) -> date:
    """The day of readings made at this time, by default now: never before the fitting was planned,
    or an instrument whose calibration ran out would be good again."""
    return timezone.localdate(max(recorded_at or timezone.now(), installation.created_at))


def arithmetic_facts(instrument: Instrument) -> InstrumentFacts:
    """How good an instrument is now, whether or not its calibration has run out."""
    return InstrumentFacts(
        kind=cast(Literal["tape", "laser", "level", "gauge"], instrument.kind),
        accuracy_class=instrument.accuracy_class or None,
        from_end_hook=instrument.from_end_hook,
        expanded_uncertainty=instrument.expanded_uncertainty,
        coverage_factor=instrument.coverage_factor,
    )


def known_leaf(installation: Installation, leaf: int) -> None:
    """Raises `InvalidField` for a sash that the doorset does not have."""
    leaves = [known.number for known in installation.plan.leaves]
    if leaf not in leaves:
        raise InvalidField(
            "/leaf",
            _("there is no sash {leaf}; give 1 to {last}").format(leaf=leaf, last=leaves[-1]),
        )


def require_on_member(
    installation: Installation, member: str, position: float, pointer: str = "/position"
) -> None:
    """Raises `InvalidField` at `pointer` for a place, mm, beyond the end of the member."""
    length = installation.plan.fixing_layout.member(member).length
    if position > length:
        raise InvalidField(
            pointer,
            _("the {member} ends at {length} mm").format(
                member=translated(MEMBER_LABELS[member]), length=number(length)
            ),
        )


def _gate_of_phase(state: InstallationState, phase: str) -> tuple[str, list[Blocker]]:
    """Preparing and setting have no gate of their own: hold points guard them. Finishing covers up
    what the glazing gate looks at, so it waits for that gate too."""
    match phase:
        case PlanStep.Phase.REMOVAL:
            return "removal", state.before_removal
        case PlanStep.Phase.FIXING:
            gate = "fixing"
        case PlanStep.Phase.GLAZING | PlanStep.Phase.FINISHING:
            gate = "glazing"
        case PlanStep.Phase.HANDOVER:
            gate = "handover"
        case _:
            return phase, []
    return gate, CONDITIONS[gate](state)
