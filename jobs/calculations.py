"""What was worked out of a doorset when it was drafted, as its record keeps it."""

from dataclasses import dataclass

from msgspec import UNSET

from jobs.arithmetic.doorset import DoorsetAnswer
from jobs.arithmetic.thermal import one_decimal
from jobs.frozen import FrozenKind, Plain
from jobs.rules import BorrowedRules


@dataclass(frozen=True, slots=True)
class DoorsetCalculation(DoorsetAnswer):
    """The answer of the doorset arithmetic, with the rule set that it was made under and the rules
    that newer sets of the family lent it."""

    rule_set: str
    rules_from_newer_sets: BorrowedRules = UNSET


def _with_lifted_masses(calculation: Plain) -> Plain:
    """Format 1 may be from before anybody asked how sashes and glass come: then they come as the
    arithmetic takes it where a system says nothing, hung and unglazed."""
    if "lifted_mass" in calculation:
        return calculation
    leaves = [
        leaf | {"lifted_mass": leaf["mass"] - leaf["glass_mass"]} for leaf in calculation["leaves"]
    ]
    lifted_mass = calculation["frame_mass"] + sum(leaf["lifted_mass"] for leaf in leaves)
    return calculation | {
        "leaves": leaves,
        "lifted_mass": lifted_mass,
        "sashes": "hung",
        "glass": "loose",
    }


def with_reported_glass(calculation: Plain) -> Plain:
    """Format 2 is from before the U of glass was rounded as EN 673 asks, and from before
    emissivities were corrected. Its figures stay as they were worked out; its sources say so."""
    thermal = calculation["thermal"]
    reported = {"u_glass_reported": one_decimal(thermal["u_glass"])}
    return calculation | {"thermal": thermal | reported}


DOORSET_CALCULATION = FrozenKind(
    "calculation of a doorset", DoorsetCalculation, (_with_lifted_masses, with_reported_glass)
)
