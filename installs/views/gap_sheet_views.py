"""The gaps of all junctions on one sheet, in the order in which they are walked."""

from dataclasses import dataclass
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from installs.gap_rounds import gaps_of_this_round
from installs.models import JunctionGap
from installs.running_gear_advice import running_gear_advice
from installs.state import InstallationState
from installs.views.fittings import address_of, fitting_of, show
from installs.views.part_states import State, junction_state
from installs.views.running_gear_forms import GapRow, gap_instruments, lift_forms
from jobs.capabilities import Capability
from jobs.views.access import capability_required


@dataclass(frozen=True, slots=True)
class JunctionRow:
    """`read`: its gaps of this round, None while they are to be read."""

    number: int
    leaves: tuple[int, ...]
    state: State
    read: JunctionGap | None
    form: GapRow


@capability_required(Capability.RECORD_FITTING)
@require_http_methods(["GET", "POST"])
def gap_sheet(request: HttpRequest, pk: UUID) -> HttpResponse:
    fitting = fitting_of(request, pk)
    here = address_of(fitting, "fitting-gaps")
    rows = _rows(request, InstallationState(fitting))
    for row in rows:
        if row.form.apply():
            message = _("The gaps of junction {number} are recorded.")
            return row.form.kept(message.format(number=row.number), f"{here}#{row.number}")
    chains = running_gear_advice(fitting)
    lifts = [lift for lift in lift_forms(request, fitting, chains) if lift.advised]
    for lift in lifts:
        if lift.apply():
            return lift.kept(_("The turns are recorded. Read the gaps again now."), here)
    more = {
        "rows": rows,
        "to_read": sum(row.read is None for row in rows),
        "chains": chains,
        "lifts": lifts,
        "tolerance": fitting.plan.running_gear.tolerance,
        "limit_source": fitting.plan.running_gear.source,
        "lift_per_turn": fitting.plan.running_gear.lift_per_turn,
    }
    forms = [*(row.form for row in rows), *lifts]
    return show(request, "gap_sheet.html", fitting, forms, **more)


def _rows(request: HttpRequest, state: InstallationState) -> list[JunctionRow]:
    fitting = state.installation
    read = gaps_of_this_round(state)
    instruments = gap_instruments(request, fitting)
    return [
        JunctionRow(
            number=junction.number,
            leaves=junction.leaves,
            state=junction_state(state, junction.number),
            read=read.get(junction.number),
            form=GapRow(request, fitting, junction.number, instruments, read.get(junction.number)),
        )
        for junction in fitting.plan.junctions
    ]
