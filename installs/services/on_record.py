"""Steps that what is on record decides, whatever is said of them: beads and fixings."""

from collections.abc import Sequence

from installs.conditions import too_few_mechanical_fixings
from installs.models import Bead, Installation, PlanStep
from installs.standing import Standing
from jobs.refusals import InvalidField

# From here on the joint is filled, and a fixing that is missing stays so.
FIXINGS_COMPLETE = "foam"
BEADS_OFF, BEADS_BACK = "beads_off", "beads_back"


def on_record_short_of(step: PlanStep) -> Sequence[str]:
    """What the record lacks that fails this step: mechanical fixings that the plan asks for."""
    if step.code != FIXINGS_COMPLETE:
        return ()
    return [
        f"{blocker.what}: {blocker.why}"
        for blocker in too_few_mechanical_fixings(Standing(step.installation))
    ]


def require_register(step: PlanStep) -> None:
    """Raises `InvalidField` for a step of beads that the register of beads does not bear out."""
    if step.code not in (BEADS_OFF, BEADS_BACK):
        return
    missing = _beads_missing(step.installation, back=step.code == BEADS_BACK)
    if missing:
        raise InvalidField(
            "/acknowledged", f"not in the register of beads yet: {', '.join(missing)}"
        )


def _beads_missing(installation: Installation, *, back: bool) -> list[str]:
    beads = installation.beads.filter(put_back_at__isnull=False) if back else installation.beads
    there = set(beads.values_list("leaf", "side"))
    return [
        f"sash {leaf['number']} {side}"
        for leaf in installation.plan["leaves"]
        for side in Bead.Side.values
        if (leaf["number"], side) not in there
    ]
