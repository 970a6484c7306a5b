"""A sash: how it is glazed and braced, what was done to it, and its beads."""

from typing import Any, TypeVar
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from installs.drawings import GlazedDoorset, sash_svg
from installs.frozen import LiftPlan, PlannedPaneLift, PlannedSashLift
from installs.models import Installation
from installs.plan.frame_lift import held_label, team_label
from installs.plan.limits import edge_clearance
from installs.sash_advice import (
    out_of_square_in_words,
    panes_ordered_for,
    shortfalls_in_words,
    square_limit,
    squaring_lift_of,
)
from installs.state import InstallationState
from installs.views.bead_sheet_views import sash_beads
from installs.views.fittings import address_of, fitting_of, show
from installs.views.part_states import sash_state
from installs.views.sash_forms import SashChangeForm, SashForm
from jobs.arithmetic.doorset import Leaf
from jobs.capabilities import Capability
from jobs.elevations import elevation_of
from jobs.views.access import capability_required

L = TypeVar("L", PlannedPaneLift, PlannedSashLift)


@capability_required(Capability.RECORD_FITTING)
@require_http_methods(["GET", "POST"])
def sash_page(request: HttpRequest, pk: UUID, number: int) -> HttpResponse:
    fitting = fitting_of(request, pk)
    planned = next((leaf for leaf in fitting.plan.leaves if leaf.number == number), None)
    if planned is None:
        raise Http404
    here = address_of(fitting, "fitting-sash", number)
    state = InstallationState(fitting)
    sash = state.sashes.get(number)
    form = SashChangeForm(request, sash) if sash else SashForm(request, fitting, number)
    if form.apply():
        return form.kept(_("Sash {number} is recorded.").format(number=number), here)
    beads = sash_beads(request, state, number)
    for bead_form in (*beads.off, *beads.back):
        if bead_form.apply():
            return bead_form.kept(_("The register of beads is updated."), f"{here}#beads")
    more = _context(fitting, planned, state) | {"form": form, "beads": beads}
    return show(request, "sash.html", fitting, [form, *beads.off, *beads.back], **more)


def _context(fitting: Installation, planned: Leaf, state: InstallationState) -> dict[str, Any]:
    number = planned.number
    sash = state.sashes.get(number)
    glazing = fitting.plan.glazing
    lift = squaring_lift_of(sash) if sash else None
    pane_lift = _lift_of(number, fitting.plan.lifts.panes)
    return {
        "number": number,
        "last": fitting.plan.leaves[-1].number,
        "planned": planned,
        "drawing": sash_svg(
            GlazedDoorset.read(fitting.plan.leaves, glazing, elevation_of(fitting.doorset)), number
        ),
        "glazed": next(sash for sash in glazing.leaves if sash.number == number),
        "turn": glazing.order.index(number) + 1,
        "pane_lift": pane_lift,
        "pane_held": held_label(pane_lift.held) if pane_lift and pane_lift.held else "",
        "loose_sash": _loose_sash(number, fitting.plan.lifts),
        "state": sash_state(state, number),
        "sash": sash,
        "edge_clearance": edge_clearance(
            max(planned.glass_width, planned.glass_height), fitting.rule_set.rules
        ),
        "edges_by": fitting.rule_set.rules.note("glass.edge_clearance", "blocks.thickness"),
        "block_thickness": fitting.rule_set.rules["blocks.thickness"],
        "panes_ordered": panes_ordered_for(fitting, number),
        "shortfalls": shortfalls_in_words(sash.mark_shortfalls) if sash else [],
        "not_square": out_of_square_in_words(sash) if sash else "",
        "square_limit": square_limit(fitting.rule_set.rules),
        "squaring_lift": lift,
        "squaring_down": lift is not None and lift < 0,
    }


def _lift_of(number: int, lifts: tuple[L, ...]) -> L | None:
    """None where this leaf is not lifted in that part by itself."""
    return next((lift for lift in lifts if lift.leaf == number), None)


def _loose_sash(number: int, lifts: LiftPlan) -> dict[str, Any] | None:
    """The lift of a sash that comes loose, with who it takes in words."""
    lift = _lift_of(number, lifts.sashes)
    if lift is None:
        return None
    return {
        "glazed": lift.glazed,
        "mass": lift.mass,
        "needs": team_label(lift.people_needed),
        "held": held_label(lift.held) if lift.held else "",
    }
