"""Steps that the records decide, whatever somebody confirms: surveys, beads, fixings, gaps."""

from collections.abc import Mapping, Sequence

from django.db.models import Max
from django.utils.translation import gettext as _

from installs.conditions import fixing_shortfalls
from installs.models import Bead, Installation, PlanStep
from installs.sash_advice import out_of_square_in_words
from installs.state import InstallationState
from jobs.arithmetic.errors import pointer_to
from jobs.code_labels import code_label
from jobs.errors import InvalidField
from jobs.sentences import StoredSentence
from surveys.gates import open_wall_gate_for, survey_after_removal

LACKING = StoredSentence("{what}: {why}")


def on_record_short_of(step: PlanStep) -> dict[str, Sequence[str]]:
    """What the record lacks that fails this step: mechanical fixings that the plan asks for."""
    if step.register != "fixings":
        return {}
    state = InstallationState(step.installation)
    missing = [LACKING(what=what, why=why) for what, why in fixing_shortfalls(state)]
    return {"fixings": missing} if missing else {}


def require_register(step: PlanStep, note: str) -> None:
    """Raises `InvalidField` for a step that the record does not bear out; `note` is what was said
    with it."""
    match step.register:
        case "survey_after_removal":
            _require_open_wall(step.installation, note)
            return
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


def require_square(step: PlanStep, checks: Mapping[str, bool], *, confirmed: bool) -> None:
    """Raises `InvalidField` where blocks, glass or beads are said to be in order in a sash that is
    known to be out of square: with the glass packed and the beads on it stays so."""
    if step.on_the_map not in ("blocks", "glass_marking", "beads_back"):
        return
    for sash in step.installation.sashes.order_by("leaf"):
        name = f"sash_{sash.leaf}"
        if (confirmed or checks.get(name)) and (why := out_of_square_in_words(sash)):
            pointer = "/acknowledged" if confirmed else pointer_to("checks", name)
            raise InvalidField(pointer, why)


def _require_open_wall(installation: Installation, note: str) -> None:
    """A house that stands open waits for no network, so a survey is asked for or words in its
    place; one that is on record decides."""
    if survey_after_removal(installation.doorset.opening) is None:
        if not note:
            raise InvalidField(
                "/note",
                _(
                    "no survey with the old door out is on record; record it, or say here what was "
                    "measured by hand and why it cannot be recorded now"
                ),
            )
        return
    against = open_wall_gate_for(installation.doorset)
    if against:
        reasons = "; ".join(blocker.what for blocker in against)
        raise InvalidField(
            "/acknowledged",
            _("the survey with the old door out says: {reasons}").format(reasons=reasons),
        )


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
