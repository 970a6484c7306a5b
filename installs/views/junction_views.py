"""A junction of leaves: its gaps at head and sill, what to turn, and what was turned."""

from collections.abc import Iterator
from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from installs.arithmetic.chains import ChainPlace
from installs.models import Installation, JunctionGap
from installs.operations import RECORD_GAP, RECORD_LIFT
from installs.running_gear_advice import ChainAdvice, running_gear_advice
from installs.services.instrument_fit import gap_criteria
from installs.state import InstallationState
from installs.views.fittings import address_of, fitting_of, show
from installs.views.instruments import Instruments
from installs.views.operation_form import OperationForm
from installs.views.part_states import junction_state
from jobs.arithmetic.fold import Junction
from jobs.capabilities import Capability
from jobs.views.access import capability_required, person_of
from surveys.arithmetic.uncertainty import READ_GAPS

SUPPORT_LABELS = {
    "jamb_hinge": gettext_lazy("hinge at the jamb"),
    "carrier": gettext_lazy("carrier"),
    "knuckle": gettext_lazy("hinge between two leaves"),
    "closing_edge": gettext_lazy("closing edge"),
}


class GapForm(OperationForm):
    operation = RECORD_GAP
    button = gettext_lazy("Record these gaps")

    def __init__(self, request: HttpRequest, fitting: Installation, junction: int) -> None:
        person = person_of(request)
        instruments = Instruments.of(
            person,
            JunctionGap.objects.filter(fitter=person),
            gap_criteria(fitting.plan.running_gear.tolerance),
            READ_GAPS,
            fitting.rule_set.rules,
        )
        super().__init__(
            request,
            about=f"{fitting.pk}-{junction}",
            title=_("Gaps of junction {number}").format(number=junction),
            since=instruments.last,
            fixed={"installation": str(fitting.pk), "junction": junction},
        )
        self.add("head_gap", _("Gap at the head"))
        self.add("sill_gap", _("Gap at the sill"))
        gear = fitting.plan.running_gear
        if gear.season and any(chain.closes_at == junction for chain in gear.chains):
            self.add("temperature", _("Temperature of the leaves today"))
        instruments.add_to(self)


class LiftForm(OperationForm):
    """Turns of one carrier; what is advised is filled in."""

    operation = RECORD_LIFT
    button = gettext_lazy("Record these turns")

    def __init__(
        self,
        request: HttpRequest,
        fitting: Installation,
        junction: int,
        chain: str,
        advised: float | None,
    ) -> None:
        super().__init__(
            request,
            about=f"{fitting.pk}-{junction}-{chain}",
            title=_("Turns at junction {number}").format(number=junction),
            since=advised,
            fixed={"installation": str(fitting.pk), "junction": junction, "chain": chain},
        )
        self.chain = chain
        self.add(
            "turns",
            _("Turns made, up is positive and down is negative"),
            initial=None if advised is None else f"{advised:.2f}".rstrip("0").rstrip("."),
        )


@capability_required(Capability.RECORD_FITTING)
@require_http_methods(["GET", "POST"])
def junction_page(request: HttpRequest, pk: UUID, number: int) -> HttpResponse:
    fitting = fitting_of(request, pk)
    junction = next((j for j in fitting.plan.junctions if j.number == number), None)
    if junction is None:
        raise Http404
    here = address_of(fitting, "fitting-junction", number)
    gap = GapForm(request, fitting, number)
    if gap.apply():
        return gap.kept(
            _("The gaps of junction {number} are recorded.").format(number=number),
            f"{here}#what-to-turn",
        )
    chains = [
        chain for chain in running_gear_advice(fitting) if _reaches(fitting, chain.jamb, number)
    ]
    lifts = list(_lift_forms(request, fitting, number, chains))
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


def _lift_forms(
    request: HttpRequest, fitting: Installation, number: int, chains: list[ChainAdvice]
) -> Iterator[LiftForm]:
    """One for every carrier at this junction."""
    for chain in chains:
        place = next(p for p in _places(fitting, chain.jamb) if p.junction == number)
        if place.support == "carrier":
            yield LiftForm(request, fitting, number, chain.jamb, _advised(chain, number))


def _advised(chain: ChainAdvice, number: int) -> float | None:
    """Turns at this junction; None while there is nothing to turn, or nothing is known."""
    adjustments = chain.advice["adjustments"] if chain.advice else []
    return next((a["turns"] for a in adjustments if a["junction"] == number and a["turns"]), None)


def _reaches(fitting: Installation, jamb: str, number: int) -> bool:
    return any(place.junction == number for place in _places(fitting, jamb))


def _places(fitting: Installation, jamb: str) -> tuple[ChainPlace, ...]:
    return next(c.places for c in fitting.plan.running_gear.chains if c.jamb == jamb)
