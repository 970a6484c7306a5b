"""What no carrier of a chain can cure, by the differences of its gaps alone."""

from dataclasses import dataclass
from math import sqrt
from typing import Literal

import numpy as np

from installs.arithmetic.carrier_lifts import FINEST_MM
from installs.arithmetic.chains import ChainJunction, RunningGearRequest, following
from installs.arithmetic.conformity import Decision
from installs.arithmetic.gap_causes import Weighed, WeighedCause
from installs.arithmetic.gear_acts import weighed_cause
from jobs.sentences import Sentence, sentence

Fault = Literal["frame_fault", "sash_fault"]
FAULTS: dict[Fault, Sentence] = {
    "frame_fault": sentence("the frame is out of level here: pack head or sill, or move the hinge"),
    "sash_fault": sentence("the sash is out of square here: brace it again on its blocks"),
}


EVEN_ODDS = 0.5


@dataclass(frozen=True, slots=True)
class GearFault:
    """What no carrier can cure at a junction, and by how many mm of gap."""

    junction: int
    fault: Fault
    excess: float
    advice: Sentence


def find_faults(
    request: RunningGearRequest, weighed: Weighed, decision: Decision
) -> tuple[GearFault, ...]:
    """What keeps the gaps from their limits once the carriers are set as well as they can be, by
    what most probably explains the readings. None where they are within, nor where the readings
    show neither that they are not nor a cause."""
    if decision == "pass":
        return ()
    likelier = max(weighed.frame, weighed.sash)
    if likelier < max(weighed.sound, EVEN_ODDS):
        return _beyond_doubt(request, decision)
    cause = next(c for c in weighed.causes if c.of_frame == (weighed.frame >= weighed.sash))
    probable = fault_of(cause, request)
    by_difference = faults_by_difference(request)
    # Without the leaf gap the differences say how much is left, where they name the same fault.
    if request.leaf_gap is None and max(by_difference, key=_excess).fault == probable.fault:
        return by_difference
    return (probable,)


def _beyond_doubt(request: RunningGearRequest, decision: Decision) -> tuple[GearFault, ...]:
    """Readings that are exact show everything; others what is beyond their own uncertainty."""
    faults = faults_by_difference(request)
    if request.standard_uncertainty == 0:
        return faults
    certain_from = request.tolerance + 2 * sqrt(2) * request.standard_uncertainty
    beyond = tuple(fault for fault in faults if fault.excess > certain_from)
    return beyond if decision == "fail" else ()


def fault_of(cause: WeighedCause, request: RunningGearRequest) -> GearFault:
    """A probable cause as the fault that it is."""
    probable = weighed_cause(cause, request)
    fault: Fault = "frame_fault" if cause.of_frame else "sash_fault"
    return GearFault(request.number_of(cause.worst), fault, probable.size, probable.do_first)


def faults_by_difference(request: RunningGearRequest) -> tuple[GearFault, ...]:
    """A support that cannot be lifted far enough is on a frame out of level; a junction that
    is off the straight line between its supports belongs to a sash out of square."""
    chain = request.junctions
    difference = np.array([junction.difference for junction in chain])
    off_line = difference - following(chain) @ difference
    faults = []
    for index, junction in enumerate(chain):
        held = junction.support != "none"
        fault: Fault = "frame_fault" if held else "sash_fault"
        excess = (
            out_of_reach(junction, request.adjustment_range)
            if held
            else abs(float(off_line[index]))
        )
        number = request.number_of(index)
        faults.append(GearFault(number, fault, round(excess, FINEST_MM), FAULTS[fault]))
    beyond = tuple(fault for fault in faults if fault.excess > request.tolerance)
    # Several small ones may add up to what none of them is alone: then the worst is named.
    return beyond or (max(faults, key=_excess),)


def _excess(fault: GearFault) -> float:
    return fault.excess


def out_of_reach(junction: ChainJunction, adjustment_range: float) -> float:
    """What is left of the difference once the support is at the end of its range."""
    if not junction.moves:
        return abs(junction.difference)
    up = adjustment_range - junction.lifted
    down = adjustment_range + junction.lifted
    reach = up if junction.difference > 0 else down
    return max(0.0, abs(junction.difference) - 2 * reach)
