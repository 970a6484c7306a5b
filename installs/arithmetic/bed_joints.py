"""Where the mortar bed joints beside a brick jamb lie, so that no fixing goes into one."""

from installs.arithmetic.members import Stretch


def bed_joint_stretches(
    length: float, *, datum: float, course: float, joint: float
) -> tuple[Stretch, ...]:
    """Stretches, mm from the member's foot, that the bed joints beside it take up.

    `datum`: height of the middle of any one bed joint above the foot; `course`: from the middle of
    one joint to the middle of the next; `joint`: thickness of a joint. All in mm.
    """
    half = joint / 2
    lowest = (datum + half) % course - half
    count = int((length + half - lowest) // course) + 1
    middles = (lowest + number * course for number in range(count))
    within = ((max(0.0, m - half), min(length, m + half)) for m in middles)
    return tuple((start, end) for start, end in within if end > start)
