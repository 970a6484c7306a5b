"""Recording what was turned at the running gear."""

from django.db import transaction
from django.utils.translation import gettext as _

from installs.arithmetic.chains import Chain
from installs.models import CarrierLift, Installation, PlanStep
from installs.services.recording import lock_installation, require_gate
from installs.state import InstallationState
from jobs.errors import InvalidField
from jobs.figures import number
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Person
from jobs.services.records import store_new

FINEST_MM = 1e-6


@transaction.atomic
def record_lift(
    *,
    actor: Person,
    idempotency_key: IdempotencyKey,
    installation: Installation,
    junction: int,
    chain: str,
    turns: float,
) -> CarrierLift:
    """Record by how many turns a carrier was lifted (up positive).

    Raises `GateClosed` before the glazing gate opens, `InvalidField` for a junction of the chain
    that has no carrier, and for turns beyond the carrier's range.
    """
    installation = lock_installation(installation.pk)
    require_gate(InstallationState(installation), PlanStep.Phase.GLAZING)
    gear = installation.plan.running_gear
    _check_carrier(gear.chains, chain, junction)
    lift = turns * gear.lift_per_turn
    _check_range(installation, junction, chain, lift)
    record = CarrierLift(
        **idempotency_key.columns,
        installation=installation,
        junction=junction,
        chain=chain,
        lift=lift,
        turns=turns,
        fitter=actor,
    )
    return store_new(record, actor=actor, entry_type=JournalType.CARRIER_LIFTED)


def _check_carrier(chains: tuple[Chain, ...], jamb: str, junction: int) -> None:
    places = next((chain.places for chain in chains if chain.jamb == jamb), None)
    if places is None:
        raise InvalidField(
            "/chain",
            _("no leaf hangs there; give one of these: {jambs}").format(
                jambs=", ".join(chain.jamb for chain in chains)
            ),
        )
    carriers = [place.junction for place in places if place.support == "carrier"]
    if junction not in carriers:
        known = ", ".join(map(str, carriers)) or _("none")
        raise InvalidField(
            "/junction",
            _("this chain has no carrier at junction {junction}; it has: {known}").format(
                junction=junction, known=known
            ),
        )


def _check_range(installation: Installation, junction: int, chain: str, lift: float) -> None:
    reach = installation.plan.running_gear.adjustment_range
    position = sum(
        installation.lifts.filter(junction=junction, chain=chain).values_list("lift", flat=True)
    )
    if abs(position + lift) > reach + FINEST_MM:
        raise InvalidField(
            "/turns",
            _(
                "it is {position} mm from its middle and reaches {reach} mm either way; "
                "{lift} mm is too far"
            ).format(position=number(position, "+g"), reach=number(reach), lift=number(lift, "+g")),
        )
