"""The packers that a member is set level on, for the step at which it is levelled."""

from collections.abc import Iterator
from dataclasses import dataclass

from installs.arithmetic.members import PlannedMember
from installs.arithmetic.packers import PackerStack
from installs.frame_places import PLACES
from installs.member_labels import MEMBER_TITLES
from installs.models import PlanStep
from jobs.sentences import Sentence


@dataclass(frozen=True, slots=True)
class PackedPlace:
    """`at` in mm from the left end; `packers` is None where the joint was not measured."""

    at: float
    packers: PackerStack | None
    is_fixing: bool


@dataclass(frozen=True, slots=True)
class LevelledMember:
    name: str
    title: Sentence
    places: list[PackedPlace]


def packers_to_level(step: PlanStep) -> list[LevelledMember]:
    """Of each member whose level the step reads; none for other steps."""
    levelled = [
        name
        for criterion in step.criteria
        if (place := PLACES.get(criterion)) and place.kind == "level"
        for name in place.members
    ]
    layout = step.installation.plan.fixing_layout
    return [
        LevelledMember(name, MEMBER_TITLES[name], sorted(_places(layout.member(name)), key=_at))
        for name in levelled
    ]


def _places(member: PlannedMember) -> Iterator[PackedPlace]:
    for fixing in member.fixings:
        yield PackedPlace(float(fixing.position), fixing.packers, is_fixing=True)
    for support in member.supports_without_fixing:
        yield PackedPlace(float(support.position), support.packers, is_fixing=False)


def _at(place: PackedPlace) -> float:
    return place.at
