"""What a sill carries at its packers, in words."""

from collections.abc import Sequence

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from installs.arithmetic.sill_supports import LoadKind, SillLoad

LOADS: dict[LoadKind, str] = {
    "end": gettext_noop("the end of the sill"),
    "carrier_closed": gettext_noop("the carrier of junction {junction}, leaves closed"),
    "carrier_folded": gettext_noop("the carrier of junction {junction}, leaves folded"),
    "meeting_stiles": gettext_noop("the meeting stiles, junction {junction}"),
    "traffic_door_hinges": gettext_noop("the traffic door's hinge side, junction {junction}"),
    "traffic_door_lock": gettext_noop("the traffic door's lock side, junction {junction}"),
    "span": gettext_noop("the sill between its neighbours"),
}


def carried_label(carries: Sequence[SillLoad]) -> str:
    """Such as `under the carrier of junction 2, leaves closed; the meeting stiles, junction 2`."""
    loads = "; ".join(_(LOADS[load.kind]).format(junction=load.junction) for load in carries)
    return _("under {loads}").format(loads=loads)
