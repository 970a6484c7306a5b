"""All glazing beads of a doorset on one sheet, sash by sash: taken off, and put back."""

from dataclasses import dataclass
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from installs.models import Bead
from installs.state import InstallationState
from installs.views.fittings import address_of, fitting_of, show
from installs.views.sash_forms import BeadBackLater, BeadBackRow, BeadOffRow
from jobs.capabilities import Capability
from jobs.views.access import capability_required


@dataclass(frozen=True, slots=True)
class SashBeads:
    """`off` for beads that are on no list yet, and `later` to put each of them back without a
    network; `back` for those that are off, `done` for those that are back; all in the order in
    which they are worked on."""

    leaf: int
    off: list[BeadOffRow]
    later: list[BeadBackLater]
    back: list[BeadBackRow]
    done: list[Bead]


@capability_required(Capability.RECORD_FITTING)
@require_http_methods(["GET", "POST"])
def bead_sheet(request: HttpRequest, pk: UUID) -> HttpResponse:
    fitting = fitting_of(request, pk)
    here = address_of(fitting, "fitting-beads")
    state = InstallationState(fitting)
    sashes = [sash_beads(request, state, leaf.number) for leaf in fitting.plan.leaves]
    forms = [form for sash in sashes for form in (*sash.off, *sash.back)]
    for form in forms:
        if form.apply():
            return form.kept(_("The register of beads is updated."), here)
    more = {
        "sashes": sashes,
        "count_off": sum(len(sash.back) for sash in sashes),
        "count_back": sum(len(sash.done) for sash in sashes),
        "count": len(fitting.plan.leaves) * len(Bead.Side.values),
    }
    return show(request, "bead_sheet.html", fitting, forms, **more)


def sash_beads(request: HttpRequest, state: InstallationState, leaf: int) -> SashBeads:
    fitting = state.installation
    known = {bead.side: bead for bead in state.beads if bead.leaf == leaf}
    beads = [known[side] for side in Bead.Side.values if side in known]
    on_no_list = [side for side in Bead.Side.values if side not in known]
    off = {side: BeadOffRow(request, fitting, leaf, side) for side in on_no_list}
    return SashBeads(
        leaf,
        off=list(off.values()),
        later=[BeadBackLater(request, row, leaf, side) for side, row in off.items()],
        back=[BeadBackRow(request, bead) for bead in beads if not bead.put_back_at],
        done=[bead for bead in beads if bead.put_back_at],
    )
