"""Keeping the register of glazing beads."""

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from installs.models import Bead, Installation, PlanStep
from installs.services.recording import known_leaf, lock_installation, require_gate
from installs.state import InstallationState
from jobs.code_labels import code_label
from jobs.errors import Conflict, InvalidField, named
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Person
from jobs.services.records import store_change, store_new


@transaction.atomic
def take_bead_off(
    *,
    actor: Person,
    idempotency_key: IdempotencyKey,
    installation: Installation,
    number: str,
    leaf: int,
    side: str,
) -> Bead:
    """Enter a bead with the number written on it. Raises `GateClosed` before the old door may come
    out, `InvalidField` for a sash there is none of or a number that another bead has, `Conflict`
    for a side whose bead is off already."""
    installation = lock_installation(installation.pk)
    require_gate(InstallationState(installation), PlanStep.Phase.REMOVAL)
    known_leaf(installation, leaf)
    if existing := installation.beads.filter(leaf=leaf, side=side).first():
        raise Conflict(
            _("the bead of sash {leaf} is off already: {side}").format(
                leaf=leaf, side=code_label(side)
            ),
            named(existing),
        )
    if other := installation.beads.filter(number=number).first():
        raise InvalidField(
            "/number",
            _("{number} is written on another bead of sash {leaf}: {side}").format(
                number=number, leaf=other.leaf, side=code_label(other.side)
            ),
        )
    bead = Bead(
        **idempotency_key.columns,
        installation=installation,
        number=number,
        leaf=leaf,
        side=side,
        taken_off_by=actor,
    )
    return store_new(bead, actor=actor, entry_type=JournalType.BEAD_TAKEN_OFF)


@transaction.atomic
def put_bead_back(
    *, actor: Person, bead: Bead, expected_version: int, leaf: int, side: str
) -> Bead:
    """Say where a bead was put back. Raises `GateClosed` before the glazing gate opens, `Conflict`
    for one that is back, `InvalidField` for another sash or side than it came from, and for a side
    that is not its turn yet."""
    installation = lock_installation(bead.installation_id)
    require_gate(InstallationState(installation), PlanStep.Phase.GLAZING)
    if bead.put_back_at:
        raise Conflict(_("bead {number} is back already").format(number=bead.number), named(bead))
    if leaf != bead.leaf:
        raise InvalidField(
            "/leaf",
            _("bead {number} belongs to sash {leaf}").format(number=bead.number, leaf=bead.leaf),
        )
    if side != bead.side:
        raise InvalidField(
            "/side",
            _("bead {number} belongs elsewhere: {side}").format(
                number=bead.number, side=code_label(bead.side)
            ),
        )
    _check_turn(installation, bead)
    return store_change(
        bead,
        {"put_back_by": actor, "put_back_at": timezone.now()},
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.BEAD_PUT_BACK,
    )


def _check_turn(installation: Installation, bead: Bead) -> None:
    """Top, bottom, left, right: the last ones are sprung in between the others."""
    order = list(Bead.Side)
    earlier = order[: order.index(Bead.Side(bead.side))]
    back = installation.beads.filter(leaf=bead.leaf, put_back_at__isnull=False)
    done = set(back.values_list("side", flat=True))
    if waiting := [side for side in earlier if side not in done]:
        raise InvalidField(
            "/side",
            _("put another bead of sash {leaf} back first: {side}").format(
                leaf=bead.leaf, side=code_label(waiting[0])
            ),
        )
