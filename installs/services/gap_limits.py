"""What the gaps of a junction are held to."""

from installs.arithmetic.conformity import Conformity, judge_all, judge_conformity
from installs.arithmetic.differences import difference_uncertainty, sum_uncertainty
from installs.frozen import RunningGear
from surveys.arithmetic.uncertainty import Instrument


def judge_gap(
    gear: RunningGear, head: float, sill: float, instrument: Instrument, confidence: float
) -> Conformity:
    """Whether head and sill gap, mm, are even, and where the plan says so together about twice the
    leaf gap: gaps of 1 mm at head and sill are even, and a frame that is too low."""
    limit, u = gear.tolerance, difference_uncertainty(instrument, head - sill)
    even = judge_conformity(head - sill, u, -limit, limit, confidence)
    if gear.leaf_gap is None or gear.together_tolerance is None:
        return even
    limit, u = gear.together_tolerance, sum_uncertainty(instrument, max(head, sill))
    off = head + sill - 2 * gear.leaf_gap
    together = judge_conformity(off, u, -limit, limit, confidence)
    both = (even.probability_conforms, together.probability_conforms)
    return judge_all(both, confidence)
