"""A side of the frame: its fixings as planned and as fixed, with the packers beside each."""

from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.views.decorators.http import require_http_methods

from installs.arithmetic.members import PlannedFixing
from installs.drawings import DrawnMember, member_svg
from installs.models import Fixing, Installation
from installs.operations import RECORD_FIXING
from installs.state import InstallationState
from installs.views.fittings import address_of, fitting_of, show
from installs.views.operation_form import Fixed, OperationForm
from installs.views.part_states import NAMES, FixingState, member_states
from jobs.capabilities import Capability
from jobs.views.access import capability_required

MOST_PACKERS = 4


class FixingForm(OperationForm):
    """Any fixing, wherever it sits."""

    operation = RECORD_FIXING
    button = "Record this fixing"

    def __init__(self, request: HttpRequest, fitting: Installation, member: str) -> None:
        fixed: dict[str, Fixed] = {"installation": str(fitting.pk), "member": member}
        title = f"Fixing, {NAMES[member].lower()}"
        super().__init__(request, about=f"{fitting.pk}-{member}", title=title, fixed=fixed)
        self.add("position", f"Place, from the {_end(member)} end")
        self.add("kind", "Held by")
        for number in range(MOST_PACKERS):
            self.add(f"packers.{number}", f"Packer {number + 1}", required=False)


class AsPlannedForm(OperationForm):
    """A fixing in its planned place with its planned packers: there is nothing to type."""

    operation = RECORD_FIXING
    button = "Fixed as planned"

    def __init__(
        self, request: HttpRequest, fitting: Installation, member: str, planned: PlannedFixing
    ) -> None:
        position = float(planned.position)
        packers = planned.packers.pieces if planned.packers else ()
        fixed: dict[str, Fixed] = {
            "installation": str(fitting.pk),
            "member": member,
            "position": position,
            "kind": Fixing.Kind.FRAME_SCREW.value,
        }
        fixed |= {f"packers.{number}": float(mm) for number, mm in enumerate(packers)}
        about = f"{fitting.pk}-{member}-{position:g}"
        title = f"Fixing at {position:g} mm, {NAMES[member].lower()}"
        super().__init__(request, about=about, title=title, fixed=fixed)


@capability_required(Capability.RECORD_FITTING)
@require_http_methods(["GET", "POST"])
def member_page(request: HttpRequest, pk: UUID, member: str) -> HttpResponse:
    fitting = fitting_of(request, pk)
    if member not in NAMES:
        raise Http404
    here = address_of(fitting, "fitting-member", member)
    state = InstallationState(fitting)
    member_state, fixings = member_states(state)[member]
    form = FixingForm(request, fitting, member)
    places = [_place(request, fitting, member, one) for one in fixings]
    quick = [place["form"] for place in places if place["form"]]
    for one in (form, *quick):
        if stored := one.apply():
            return one.kept(f"Recorded: {stored}.", here)
    more = {
        "name": NAMES[member],
        "end": _end(member),
        "state": member_state,
        "places": places,
        "form": form,
        "made": sorted(
            (one for one in state.fixings if one.member == member), key=lambda f: f.position
        ),
        **_planned(fitting, member),
    }
    return show(request, "member.html", fitting, [form, *quick], **more)


def _place(
    request: HttpRequest, fitting: Installation, member: str, one: FixingState
) -> dict[str, Any]:
    """A place with the form that says it was fixed as planned, where that is still to be said."""
    asked = one.is_missing and one.planned and one.planned.packers
    form = AsPlannedForm(request, fitting, member, one.planned) if asked and one.planned else None
    return {"fixing": one, "form": form}


def _planned(fitting: Installation, member: str) -> dict[str, Any]:
    layout = fitting.plan.fixing_layout
    planned, longest = layout.member(member), max(one.length for one in layout.members)
    return {
        "planned": planned,
        "drawing": member_svg(DrawnMember.read(planned), longest),
        "into": fitting.plan.substrates.get(member),
    }


def _end(member: str) -> str:
    return "foot" if member in ("left", "right") else "left"
