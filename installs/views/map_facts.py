"""What the map of a fitting shows, from the records."""

from dataclasses import replace
from urllib.parse import urlencode

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from installs.arithmetic.members import PlannedMember
from installs.drawings.map import FittingMap, FixingPart, MemberPart, Part
from installs.member_labels import MEMBER_LABELS, MEMBER_TITLES
from installs.models import Installation
from installs.state import InstallationState
from installs.views.fittings import address_of
from installs.views.part_states import (
    FixingState,
    State,
    junction_state,
    member_states,
    sash_state,
)
from jobs.elevations import elevation_of
from jobs.figures import number
from jobs.templatetags.pages import STATES
from jobs.translation import translated


def map_of(state: InstallationState) -> FittingMap:
    fitting = state.installation
    return FittingMap(
        elevation=elevation_of(fitting.doorset),
        sashes=tuple(
            _part(
                f"{leaf.number}",
                _("Sash {number}").format(number=leaf.number),
                sash_state(state, leaf.number),
                address_of(fitting, "fitting-sash", leaf.number),
            )
            for leaf in fitting.plan.leaves
        ),
        junctions=tuple(
            _part(
                f"{junction.number}",
                _("Junction {number}").format(number=junction.number),
                junction_state(state, junction.number),
                address_of(fitting, "fitting-junction", junction.number),
            )
            for junction in fitting.plan.junctions
        ),
        members=tuple(
            _member(fitting, fitting.plan.fixing_layout.member(side), member, fixings)
            for side, (member, fixings) in member_states(state).items()
        ),
    )


def _member(
    fitting: Installation, planned: PlannedMember, state: State, fixings: list[FixingState]
) -> MemberPart:
    side, supports = planned.name, planned.supports_without_fixing
    address = address_of(fitting, "fitting-member", side)
    title = translated(MEMBER_TITLES[side])
    return MemberPart(
        side=side,
        part=_part(title, title, _with_supports(state, len(supports)), address),
        fixings=tuple(
            FixingPart(
                fixing.position,
                _part(
                    "",
                    _("Fixing at {position} mm, {member}").format(
                        position=number(fixing.position), member=translated(MEMBER_LABELS[side])
                    ),
                    fixing.state,
                    f"{address}#{fixing.anchor}",
                ),
            )
            for fixing in fixings
        ),
        supports=tuple(float(support.position) for support in supports),
    )


def _with_supports(state: State, count: int) -> State:
    if not count:
        return state
    label = ngettext(
        "{state}, {count} packer without a fixing",
        "{state}, {count} packers without a fixing",
        count,
    )
    return State(state.name, label.format(state=state.label, count=count))


def _part(label: str, name: str, state: State, address: str) -> Part:
    tone, sign = STATES[state.name]
    return Part(label, f"{name}: {state.label}", address, tone, sign)


def map_of_places(state: InstallationState, page: str) -> FittingMap:
    """The map whose parts lead to `page` with the place of each, as `installs.defect_places` names
    it, for choosing where on the doorset something is."""

    def at(part: Part, place: str) -> Part:
        return replace(part, address=f"{page}?{urlencode({'place': place})}")

    drawn = map_of(state)
    return replace(
        drawn,
        sashes=tuple(at(part, f"sash {part.label}") for part in drawn.sashes),
        junctions=tuple(at(part, f"junction {part.label}") for part in drawn.junctions),
        members=tuple(
            replace(
                member,
                part=at(member.part, member.side),
                fixings=tuple(
                    replace(fixing, part=at(fixing.part, f"{member.side} {fixing.position:.0f}"))
                    for fixing in member.fixings
                ),
            )
            for member in drawn.members
        ),
    )
