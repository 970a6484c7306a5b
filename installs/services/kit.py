"""From a doorset, its layout and its rule set to what a crew takes along."""

from collections.abc import Mapping, Sequence

from installs.arithmetic.glazing_plan import GlazingPlan
from installs.arithmetic.kit import Kit, packers_of, screws_of
from installs.arithmetic.members import PlannedMember
from installs.frozen import Substrate
from installs.services.calculation_rules import kit_rules, kit_sources
from jobs.models import Doorset
from jobs.rules import Rules


def kit_of(
    doorset: Doorset,
    members: Sequence[PlannedMember],
    substrates: Mapping[str, Substrate],
    glazing: GlazingPlan,
    rules: Rules,
) -> Kit:
    """Screws for the members whose wall a survey named; a screw passes the face of the frame."""
    held_by, through = kit_rules(rules), doorset.profile_system.frame_face
    return Kit(
        screws=tuple(
            screws
            for member in members
            if member.name in substrates
            for screws in screws_of(member, substrates[member.name].substrate, through, held_by)
        ),
        packers=packers_of(members),
        blocks=sum(len(sash.setting_blocks) + len(sash.location_blocks) for sash in glazing.leaves),
        sealant_run=sum(member.length for member in members),
        sources=kit_sources(rules),
    )
