"""Where on the doorset a defect is, as one short code: `sash 2`, `junction 3`, `head`, or
`left 850` with the place along the member in mm from its left or foot end. Pure."""

import re
from dataclasses import dataclass

from installs.frozen import FittingPlan
from installs.member_labels import MEMBER_LABELS
from jobs.sentences import Sentence, sentence

LONGEST = 20
ALLOWED = sentence("sash 2, junction 3, head, or left 850 (mm from the left or foot end)")
_CODE = re.compile(r"(?P<part>sash|junction|left|right|head|sill)(?: (?P<number>\d{1,5}))?")


@dataclass(frozen=True, slots=True)
class DefectPlace:
    """`part`: `sash`, `junction` or a member. `number`: that of the sash or junction, or mm along
    the member; None where all of the member is meant."""

    part: str
    number: int | None

    @property
    def is_on_member(self) -> bool:
        return self.part in MEMBER_LABELS

    @property
    def label(self) -> Sentence:
        """In the middle of a sentence."""
        if self.part == "sash":
            return sentence("sash {number}", number=self.number)
        if self.part == "junction":
            return sentence("junction {number}", number=self.number)
        member = MEMBER_LABELS[self.part]
        if self.number is None:
            return member
        return sentence("{member} at {position} mm", member=member, position=self.number)


def read_place(code: str) -> DefectPlace | None:
    """None for what is no place."""
    match = _CODE.fullmatch(code)
    if match is None:
        return None
    number = match["number"]
    place = DefectPlace(match["part"], None if number is None else int(number))
    return place if place.is_on_member or place.number is not None else None


def places_of(plan: FittingPlan) -> list[str]:
    """Codes of all parts of a doorset, from left to right, then its frame."""
    sashes = [f"sash {leaf.number}" for leaf in plan.leaves]
    junctions = [f"junction {junction.number}" for junction in plan.junctions]
    return [*sashes, *junctions, *MEMBER_LABELS]


def place_label(code: str) -> str:
    """The words of a place, plain English until it is translated; what is no place as it stands."""
    place = read_place(code)
    return place.label if place else code
