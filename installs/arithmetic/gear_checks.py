"""Chains that cannot be are refused by the field that is wrong."""

from itertools import pairwise

from installs.arithmetic.chains import RunningGearRequest
from jobs.arithmetic.errors import UnusableInput
from jobs.sentences import sentence


def check_chain(request: RunningGearRequest) -> None:
    """Raises `UnusableInput`."""
    if len(request.junctions) < 2:  # noqa: PLR2004 a leaf has two sides
        raise UnusableInput(
            "/junctions", sentence("give both sides of every leaf, two junctions or more")
        )
    if request.lift_per_turn <= 0:
        raise UnusableInput("/lift_per_turn", sentence("give more than 0 mm"))
    if request.coverage_factor <= 0:
        raise UnusableInput("/coverage_factor", sentence("give more than 0"))
    for index, (here, beyond) in enumerate(pairwise(request.junctions), start=1):
        if beyond.at <= here.at:
            raise UnusableInput(
                f"/junctions/{index}/at",
                sentence(
                    "{beyond:g} mm is not beyond {here:g} mm; go from the jamb outwards",
                    beyond=beyond.at,
                    here=here.at,
                ),
            )
    for index, junction in enumerate(request.junctions):
        if abs(junction.lifted) > request.adjustment_range:
            raise UnusableInput(
                f"/junctions/{index}/lifted",
                sentence(
                    "{lifted:g} mm is beyond the range; give at most {most:g} either way",
                    lifted=junction.lifted,
                    most=request.adjustment_range,
                ),
            )
