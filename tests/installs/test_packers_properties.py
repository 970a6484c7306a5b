"""What holds for every packer that is made up, against all stacks there are."""

from fractions import Fraction
from itertools import combinations_with_replacement

from hypothesis import example, given
from hypothesis import strategies as st

from installs.arithmetic.packers import make_up_packers

joints = st.decimals("-2", "14", places=2).map(float)
limits = st.sampled_from((0.0, 0.1, 0.5, 1.0))
# From 1 mm up, so that every stack there is can be tried; in steps that often make the same total.
thicknesses = st.integers(2, 20).map(lambda halves: halves / 2) | st.sampled_from((1.1, 2.4, 3.3))
packs = st.lists(thicknesses, min_size=1, max_size=4, unique=True)


def exact(value: float) -> Fraction:
    """The decimal that was meant, not the binary float."""
    return Fraction(str(value))


def room(joint: float) -> Fraction:
    return max(Fraction(0), exact(joint))


def every_stack(joint: float, thicknesses: list[float]) -> list[tuple[int, Fraction]]:
    """Pieces and thickness of all stacks that go into the joint."""
    sizes = [exact(thickness) for thickness in thicknesses]
    most = int(room(joint) / min(sizes))
    stacks = (
        (count, sum(pieces, Fraction(0)))
        for count in range(most + 1)
        for pieces in combinations_with_replacement(sizes, count)
    )
    return [stack for stack in stacks if stack[1] <= room(joint)]


@given(joints, packs, limits)
# The thickest piece first would need three; the joint to a tenth would seem to be filled by 5.
@example(6.0, [1.0, 3.0, 4.0], 0.0)
@example(5.55, [0.5, 5.0], 0.5)
def test_no_stack_fills_the_joint_with_fewer_pieces_or_as_few_and_thicker(joint, pack, limit):
    made = make_up_packers(joint, pack, limit)
    stacks = every_stack(joint, pack)
    within = [s for s in stacks if 0 <= exact(joint) - s[1] <= exact(limit)]
    assert made.within is bool(within)
    if within:
        best = min(within, key=lambda stack: (stack[0], -stack[1]))
    else:
        best = max(stacks, key=lambda stack: (stack[1], -stack[0]))
    assert (len(made.pieces), exact(made.thickness)) == best


@given(joints, packs, limits)
def test_a_stack_is_made_of_the_pieces_at_hand_and_never_forced_into_its_joint(joint, pack, limit):
    made = make_up_packers(joint, pack, limit)
    assert set(made.pieces) <= set(pack)
    assert list(made.pieces) == sorted(made.pieces, reverse=True)
    assert sum(map(exact, made.pieces)) == exact(made.thickness) <= room(joint)
    assert exact(made.shortfall) == exact(joint) - exact(made.thickness)
