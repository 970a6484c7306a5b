"""What the map of a fitting shows, from the records."""

from installs.drawings.map import FittingMap, FixingPart, MemberPart, Part
from installs.models import Installation
from installs.state import InstallationState
from installs.views.fittings import address_of
from installs.views.part_states import (
    NAMES,
    FixingState,
    State,
    junction_state,
    member_states,
    sash_state,
)
from jobs.elevations import elevation_of
from jobs.templatetags.pages import STATES


def map_of(state: InstallationState) -> FittingMap:
    fitting = state.installation
    return FittingMap(
        elevation=elevation_of(fitting.doorset),
        sashes=tuple(
            _part(
                f"{leaf.number}",
                f"Sash {leaf.number}",
                sash_state(state, leaf.number),
                address_of(fitting, "fitting-sash", leaf.number),
            )
            for leaf in fitting.plan.leaves
        ),
        junctions=tuple(
            _part(
                f"{junction.number}",
                f"Junction {junction.number}",
                junction_state(state, junction.number),
                address_of(fitting, "fitting-junction", junction.number),
            )
            for junction in fitting.plan.junctions
        ),
        members=tuple(
            _member(fitting, side, member, fixings)
            for side, (member, fixings) in member_states(state).items()
        ),
    )


def _member(
    fitting: Installation, side: str, state: State, fixings: list[FixingState]
) -> MemberPart:
    address = address_of(fitting, "fitting-member", side)
    return MemberPart(
        side=side,
        part=_part(NAMES[side], NAMES[side], state, address),
        fixings=tuple(
            FixingPart(
                fixing.position,
                _part(
                    "",
                    f"Fixing at {fixing.position:g} mm, {NAMES[side].lower()}",
                    fixing.state,
                    f"{address}#{fixing.anchor}",
                ),
            )
            for fixing in fixings
        ),
    )


def _part(label: str, name: str, state: State, address: str) -> Part:
    tone, sign = STATES[state.name]
    return Part(label, f"{name}: {state.words}", address, tone, sign)
