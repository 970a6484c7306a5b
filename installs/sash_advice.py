"""By how much a sash is out of square, from the diagonals that were measured over it."""

from installs.arithmetic.glazing_plan import sash_lift
from installs.models import SashRecord


def squaring_lift_of(sash: SashRecord) -> float | None:
    """mm to lift its free stile by, down negative; None where no diagonals were measured."""
    if sash.rising_diagonal is None or sash.falling_diagonal is None:
        return None
    plan = sash.installation.plan
    leaf = next(leaf for leaf in plan.leaves if leaf.number == sash.leaf)
    glazed = next(leaf for leaf in plan.glazing.leaves if leaf.number == sash.leaf)
    return sash_lift(
        leaf.width,
        leaf.height,
        glazed.free_stile,
        sash.rising_diagonal,
        sash.falling_diagonal,
    )
