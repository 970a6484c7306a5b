"""A junction of leaves: its gaps at head and sill, what to turn, and what was turned."""

from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from installs.models import Installation
from installs.running_gear_advice import ChainAdvice, running_gear_advice
from installs.state import InstallationState
from installs.views.fittings import address_of, fitting_of, show
from installs.views.part_states import junction_state
from installs.views.running_gear_forms import GapForm, gap_instruments, lift_forms, places_of
from jobs.arithmetic.fold import Junction
from jobs.capabilities import Capability
from jobs.views.access import capability_required

SUPPORT_LABELS = {
    "jamb_hinge": gettext_lazy("hinge at the jamb"),
    "carrier": gettext_lazy("carrier"),
    "knuckle": gettext_lazy("hinge between two leaves"),
    "closing_edge": gettext_lazy("closing edge"),
}


@capability_required(Capability.RECORD_FITTING)
@require_http_methods(["GET", "POST"])
def junction_page(request: HttpRequest, pk: UUID, number: int) -> HttpResponse:
    fitting = fitting_of(request, pk)
    junction = next((j for j in fitting.plan.junctions if j.number == number), None)
    if junction is None:
        raise Http404
    here = address_of(fitting, "fitting-junction", number)
    gap = GapForm(request, fitting, number, gap_instruments(request, fitting))
    if gap.apply():
        return gap.kept(
            _("The gaps of junction {number} are recorded.").format(number=number),
            f"{here}#what-to-turn",
        )
    chains = [
        chain for chain in running_gear_advice(fitting) if _reaches(fitting, chain.jamb, number)
    ]
    lifts = list(lift_forms(request, fitting, chains, number))
    for lift in lifts:
        if lift.apply():
            return lift.kept(_("The turns are recorded. Read the gaps again now."), here)
    more = _context(fitting, junction, chains) | {"gap": gap, "lifts": lifts}
    return show(request, "junction.html", fitting, [gap, *lifts], **more)


def _context(
    fitting: Installation, junction: Junction, chains: list[ChainAdvice]
) -> dict[str, Any]:
    number = junction.number
    gear = fitting.plan.running_gear
    turned = fitting.lifts.filter(junction=number).select_related("fitter")
    gaps = fitting.gaps.filter(junction=number).select_related("instrument", "fitter")
    return {
        "number": number,
        "last": fitting.plan.junctions[-1].number,
        "leaves": junction.leaves,
        "supports": [SUPPORT_LABELS[support] for support in junction.supports],
        "state": junction_state(InstallationState(fitting), number),
        "chains": chains,
        "tolerance": gear.tolerance,
        "limit_source": gear.source,
        "lift_per_turn": gear.lift_per_turn,
        "gaps": gaps.order_by("-created_at", "-id"),
        "turned": turned.order_by("-created_at", "-id"),
    }


def _reaches(fitting: Installation, jamb: str, number: int) -> bool:
    return any(place.junction == number for place in places_of(fitting, jamb))
