"""Steps that the records decide, whatever somebody confirms: beads, fixings and gaps."""

from collections.abc import Sequence

from django.db.models import Max
from django.utils.translation import gettext as _

from installs.conditions import fixing_shortfalls
from installs.models import Bead, Installation, PlanStep
from installs.state import InstallationState
from jobs.code_labels import code_label
from jobs.errors import InvalidField
from jobs.sentences import sentence


def on_record_short_of(step: PlanStep) -> Sequence[str]:
    """What the record lacks that fails this step: mechanical fixings that the plan asks for."""
    if step.register != "fixings":
        return ()
    state = InstallationState(step.installation)
    return [sentence("{what}: {why}", what=what, why=why) for what, why in fixing_shortfalls(state)]


def require_register(step: PlanStep) -> None:
    """Raises `InvalidField` for a step of beads or of gaps that the record does not bear out."""
    match step.register:
        case "beads_off" | "beads_back":
            missing = _beads_missing(step.installation, back=step.register == "beads_back")
            text = _("not in the register of beads yet: {missing}")
        case "gaps" | "gaps_after_glass":
            after_the_glass = step.register == "gaps_after_glass"
            missing = _gaps_missing(step.installation, after_the_glass=after_the_glass)
            text = _("gaps still to be read, at junction: {missing}")
        case _:
            return
    if missing:
        raise InvalidField("/acknowledged", text.format(missing=", ".join(missing)))


def _beads_missing(installation: Installation, *, back: bool) -> list[str]:
    beads = installation.beads.filter(put_back_at__isnull=False) if back else installation.beads
    registered = set(beads.values_list("leaf", "side"))
    return [
        _("sash {number} {side}").format(number=leaf.number, side=code_label(side))
        for leaf in installation.plan.leaves
        for side in Bead.Side.values
        if (leaf.number, side) not in registered
    ]


def _gaps_missing(installation: Installation, *, after_the_glass: bool) -> list[str]:
    """Junctions whose newest gaps are missing, or older than the newest work on a sash."""
    newest = InstallationState(installation).newest_gaps
    sashes = installation.sashes.aggregate(newest=Max("updated_at"))["newest"]
    since = sashes if after_the_glass else None
    return [
        str(junction.number)
        for junction in installation.plan.junctions
        if (gap := newest.get(junction.number)) is None or (since and gap.created_at < since)
    ]
