"""The room that a frame needs above it to be tilted into its opening. Lengths in mm. Pure.

Stood on its sill edge and tilted up, a frame of height h and depth d turns about the edge of its
sill that is next to the crew; on the way its far upper edge is the diagonal above that, which is
sqrt(h^2 + d^2) - h more than the frame stands high in the end.
"""

from dataclasses import dataclass
from math import hypot
from typing import Literal

from jobs.sentences import StoredSentence, sentence

Tilting = Literal["tilt", "before_packers", "upright", "not_known"]
TILT = StoredSentence(
    "Sill first, then tilt it up: it needs {needed:.1f} mm above it on the way, and the joint at "
    "the head is {head:.1f} mm."
)
BEFORE_PACKERS = StoredSentence(
    "Tilt it up before the sill packers go under it: it needs {needed:.1f} mm above it on the way, "
    "more than the joint at the head of {head:.1f} mm but no more than head and sill have together."
)
UPRIGHT = StoredSentence(
    "Do not tilt it in: it would need {needed:.1f} mm above it on the way, and the joint at the "
    "head is {head:.1f} mm. Stand it upright in front of the opening and push it in level, sill "
    "and head together."
)
NOT_KNOWN = StoredSentence(
    "Tilted in it needs {needed:.1f} mm above it on the way; the joint at the head is not measured."
)
FROM_INSIDE = StoredSentence(
    "From inside: the ground outside lies {drop:g} mm lower, and nobody stands below."
)
FROM_EITHER_SIDE = sentence(
    "From whichever side the floor is level with the sill and dry (common practice, no source)."
)


@dataclass(frozen=True, slots=True)
class TiltRequest:
    """`head_joint` and `sill_joint` at their least, None where not measured; `drop`: how far the
    ground outside lies below the sill; `level_up_to`: the drop up to which it counts as level."""

    height: float
    depth: float
    head_joint: float | None = None
    sill_joint: float | None = None
    drop: float = 0.0
    level_up_to: float = 0.0


@dataclass(frozen=True, slots=True)
class TiltAnswer:
    """`needed`: the room above the frame that tilting takes. `way` in, `what` to do in words, and
    `side` it is done from."""

    needed: float
    depth: float
    head_joint: float | None
    way: Tilting
    what: str
    side: str


def tilt_in(request: TiltRequest) -> TiltAnswer:
    needed = hypot(request.height, request.depth) - request.height
    way = _way(needed, request)
    words = {
        "tilt": TILT,
        "before_packers": BEFORE_PACKERS,
        "upright": UPRIGHT,
        "not_known": NOT_KNOWN,
    }[way]
    values = {} if request.head_joint is None else {"head": request.head_joint}
    low = request.drop > request.level_up_to
    return TiltAnswer(
        needed=needed,
        depth=request.depth,
        head_joint=request.head_joint,
        way=way,
        what=words(needed=needed, **values),
        side=FROM_INSIDE(drop=request.drop) if low else FROM_EITHER_SIDE,
    )


def _way(needed: float, request: TiltRequest) -> Tilting:
    if request.head_joint is None:
        return "not_known"
    if needed <= request.head_joint:
        return "tilt"
    if needed <= request.head_joint + (request.sill_joint or 0.0):
        return "before_packers"
    return "upright"
