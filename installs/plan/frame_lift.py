"""What a crew lifts when a frame goes in, and what the guideline says of it. Pure."""

from dataclasses import dataclass
from typing import Literal

from installs.arithmetic.holding import Held
from installs.arithmetic.lift import LiftAnswer
from jobs.sentences import Sentence, StoredSentence, sentence

HungSashes = Literal["unglazed", "glazed"]
"""Sashes that hang in the frame while it is lifted; none hang in it where there is None."""
FRAME_LABELS: dict[HungSashes | None, Sentence] = {
    None: sentence("frame alone, without its sashes"),
    "unglazed": sentence("frame with its sashes, unglazed"),
    "glazed": sentence("frame with its sashes, glazed"),
}
OFF_AS_INSTRUCTED = sentence(
    "Hung sashes may be taken off before the lift only where and as the manufacturer's "
    "instructions allow it (common practice, no source)."
)
TEAM = StoredSentence("{people} people or a lifting aid")
HELD = {
    ("people", "width"): StoredSentence("held low at {places} mm from the left, upright"),
    ("people", "height"): StoredSentence("held low at {places} mm from its foot, on its long edge"),
    ("aid", "width"): StoredSentence("the aid bears it at {places} mm from the left, upright"),
    ("aid", "height"): StoredSentence(
        "the aid bears it at {places} mm from its foot, on its long edge"
    ),
}
NEVER_ALONE = 2
"""People that the lift of a frame or a sash takes at least, whatever it weighs."""


@dataclass(frozen=True, slots=True)
class Load:
    """What is lifted in one go: kg, what the guideline says of the crew lifting it, and where they
    hold it."""

    mass: float
    guideline: LiftAnswer
    held: Held


@dataclass(frozen=True, slots=True)
class SashesOff:
    """The lifts that remain where sashes that come hung are taken off first."""

    frame: Load
    heaviest_leaf: int
    heaviest_sash: Load


@dataclass(frozen=True, slots=True)
class FrameLift:
    """The frame as it comes, with the sashes that hang in it; `sashes_off` is the other way to
    lift it, None where no sash hangs in it."""

    load: Load
    with_sashes: HungSashes | None
    sashes_off: SashesOff | None


def team_label(people_needed: int | None) -> Sentence:
    """What the guideline asks for to lift a frame or a sash: an aid where it knows no team."""
    if people_needed is None:
        return sentence("a lifting aid")
    return TEAM(people=max(NEVER_ALONE, people_needed))


def held_label(held: Held) -> Sentence:
    """Where to take hold of a frame, a sash or a pane."""
    places = ", ".join(str(place) for place in held.places)
    return HELD[held.by, held.along](places=places)
