"""Packers: the search over totals against every stack of pieces, few pieces first."""

from itertools import combinations_with_replacement

from benchmarks.case import Case
from installs.arithmetic.packers import make_up_packers

JOINT = 13.3
SHORTFALL = 0.5
THICKNESSES = (1, 2, 3, 5, 8, 10)


def cases() -> list[Case]:
    return [
        Case(
            f"packers of a joint of {JOINT:g} mm",
            _ours,
            _exhaustive,
            "every stack, few pieces first",
            _check,
        )
    ]


def _ours() -> tuple[int, float]:
    stack = make_up_packers(JOINT, THICKNESSES, SHORTFALL)
    return len(stack.pieces), stack.thickness


def _exhaustive() -> tuple[int, float]:
    """Number of pieces and thickness: the fewest that reach, and of those the thickest."""
    count = 0
    while True:
        count += 1
        totals = [sum(pieces) for pieces in combinations_with_replacement(THICKNESSES, count)]
        reaching = [total for total in totals if JOINT - SHORTFALL <= total <= JOINT]
        if reaching:
            return count, max(reaching)


def _check() -> None:
    assert _ours() == _exhaustive(), (_ours(), _exhaustive())
