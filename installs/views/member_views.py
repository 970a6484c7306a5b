"""A side of the frame: its fixings as planned and as fixed, with the packers beside each."""

from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from installs.arithmetic.kit import screws_at
from installs.arithmetic.members import SILICA_DUST, PlannedFixing, makes_silica_dust
from installs.arithmetic.packed_members import JAMBS
from installs.drawings import DrawnMember, member_svg
from installs.kit_words import screw_label
from installs.member_labels import MEMBER_LABELS, MEMBER_TITLES, PLACE_LABELS
from installs.models import Fixing, Installation
from installs.operations import RECORD_FIXING
from installs.state import InstallationState
from installs.support_labels import carried_label
from installs.views.fittings import address_of, fitting_of, show
from installs.views.operation_form import Fixed, OperationForm
from installs.views.packer_forms import PackersForm
from installs.views.part_states import FixingState, member_states
from jobs.capabilities import Capability
from jobs.code_labels import code_label
from jobs.figures import number
from jobs.translation import translated
from jobs.views.access import capability_required

MOST_PACKERS = 4


class FixingForm(OperationForm):
    """Any fixing, wherever it sits."""

    operation = RECORD_FIXING
    button = gettext_lazy("Record this fixing")

    def __init__(self, request: HttpRequest, fitting: Installation, member: str) -> None:
        fixed: dict[str, Fixed] = {"installation": str(fitting.pk), "member": member}
        title = _("Fixing: {member}").format(member=translated(MEMBER_LABELS[member]))
        super().__init__(request, about=f"{fitting.pk}-{member}", title=title, fixed=fixed)
        self.add("position", translated(PLACE_LABELS[member]))
        kinds = [(kind.value, code_label(kind.value)) for kind in Fixing.Kind]
        self.add("kind", _("Held by"), choices=kinds)
        for place in range(MOST_PACKERS):
            label = _("Packer {number}").format(number=place + 1)
            self.add(f"packers.{place}", label, required=False)


class AsPlannedForm(OperationForm):
    """A fixing in its planned place with its planned packers: there is nothing to type."""

    operation = RECORD_FIXING
    button = gettext_lazy("Fixed as planned")

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
        fixed |= {f"packers.{place}": float(mm) for place, mm in enumerate(packers)}
        about = f"{fitting.pk}-{member}-{position:g}"
        title = _("Fixing at {position} mm, {member}").format(
            position=number(position), member=translated(MEMBER_LABELS[member])
        )
        super().__init__(request, about=about, title=title, fixed=fixed)


@capability_required(Capability.RECORD_FITTING)
@require_http_methods(["GET", "POST"])
def member_page(request: HttpRequest, pk: UUID, member: str) -> HttpResponse:
    fitting = fitting_of(request, pk)
    if member not in MEMBER_TITLES:
        raise Http404
    here = address_of(fitting, "fitting-member", member)
    state = InstallationState(fitting)
    member_state, fixings = member_states(state)[member]
    form = FixingForm(request, fitting, member)
    packers = PackersForm(request, fitting, member)
    if packers.apply():
        return packers.kept(_("The packers are recorded. Read it again now."), here)
    places = [_place(request, fitting, member, fixing) for fixing in fixings]
    quick = [place["form"] for place in places if place["form"]]
    all_label = _("All {count} that are left are fixed as planned").format(count=len(quick))
    for sent in (form, *quick):
        if sent.apply():
            return sent.kept(_("The fixing is recorded."), here)
    more = {
        "name": translated(MEMBER_TITLES[member]),
        "upright": member in JAMBS,
        "state": member_state,
        "places": places,
        "left": len(quick),
        "all_label": all_label,
        "form": form,
        "packers": packers,
        "changed": [change for change in state.packer_changes if change.member == member],
        "made": sorted(
            (fixing for fixing in state.fixings if fixing.member == member),
            key=lambda f: f.position,
        ),
        **_planned(fitting, member),
    }
    return show(request, "member.html", fitting, [form, packers, *quick], **more)


def _place(
    request: HttpRequest, fitting: Installation, member: str, fixing: FixingState
) -> dict[str, Any]:
    """A place, numbered as in the drawing where it is planned, with the form that says it was fixed
    as planned, where that is still to be said, and what its packers carry."""
    planned = fixing.planned
    planned_there = fitting.plan.fixing_layout.member(member).fixings
    asked = fixing.is_missing and planned and planned.packers
    form = AsPlannedForm(request, fitting, member, planned) if asked and planned else None
    numbers = {one.position: place for place, one in enumerate(planned_there, start=1)}
    return {
        "number": numbers[planned.position] if planned else None,
        "fixing": fixing,
        "form": form,
        "carried": _carried(fitting, member, planned),
        "screw": _screw(fitting, member, planned),
    }


def _carried(fitting: Installation, member: str, planned: PlannedFixing | None) -> str:
    """What the packers of a fixing carry besides, in words; empty where that is nothing."""
    layout = fitting.plan.fixing_layout
    carries = layout.member(member).carried_at(planned.position) if planned else ()
    return carried_label(carries) if carries else ""


def _screw(fitting: Installation, member: str, planned: PlannedFixing | None) -> str:
    """Which screw goes there, in words; empty where the kit was not counted."""
    kit, layout = fitting.plan.kit, fitting.plan.fixing_layout
    if planned is None or kit is None:
        return ""
    screws = screws_at(layout.member(member), kit.screws).get(planned.position)
    return screw_label(screws) if screws else ""


def _planned(fitting: Installation, member: str) -> dict[str, Any]:
    layout, into = fitting.plan.fixing_layout, fitting.plan.substrates.get(member)
    planned, longest = layout.member(member), max(side.length for side in layout.members)
    return {
        "planned": planned,
        "drawing": member_svg(DrawnMember.read(planned), longest),
        "into": into,
        "dust": SILICA_DUST if makes_silica_dust(into.substrate if into else None) else "",
        "supports": [
            {"at": support, "carried": carried_label(support.carries)}
            for support in planned.supports_without_fixing
        ],
    }
