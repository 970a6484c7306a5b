"""What a fitter does first about a cause of uneven gaps, as a sentence, and where it is packed."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from installs.arithmetic.chains import RunningGearRequest
from installs.arithmetic.gap_causes import WeighedCause
from jobs.sentences import Sentence, StoredSentence

Member = Literal["head", "sill"]
LEAST_PACKER_MM = 1.0
NEAREST = 2
# The member, and whether packers there are added (1) or taken out (-1).
PACKED: dict[str, tuple[Member, int]] = {
    "head_low": ("head", -1),
    "head_high": ("head", 1),
    "sill_high": ("sill", -1),
    "sill_low": ("sill", 1),
}
MEMBERS = {
    "lintel_bears_on_head": "head",
    "sash_racked": "sash",
    "last_sash_racked": "sash",
    "hinge_off": "hinge",
    "carrier_to_set": "carrier",
    "carrier_out_of_range": "carrier",
}
ACTS = {
    "head_low": StoredSentence(
        "Do not turn a carrier: the head is low at junction {junction}. Take {by:g} mm of packers "
        "out at the head near {at:g} mm, then read again."
    ),
    "head_high": StoredSentence(
        "Do not turn a carrier: the head is high at junction {junction}. Add {by:g} mm of packers "
        "at the head near {at:g} mm, then read again."
    ),
    "sill_high": StoredSentence(
        "Do not turn a carrier: the sill is high at junction {junction}. Take {by:g} mm of packers "
        "out under the sill near {at:g} mm, then read again."
    ),
    "sill_low": StoredSentence(
        "Do not turn a carrier: the sill is low at junction {junction}. Add {by:g} mm of packers "
        "under the sill near {at:g} mm, then read again."
    ),
    "lintel_bears_on_head": StoredSentence(
        "Do not turn a carrier: the head is bent by {by:g} mm near junction {junction}, as under a "
        "lintel that bears on it. Leave the packers there in place and have an engineer look at "
        "the lintel before the joint is freed; then read again."
    ),
    "gap_narrow_everywhere": StoredSentence(
        "Do not turn a carrier: head and sill are {by:g} mm too near to each other along the whole "
        "chain. Measure the clear height of the frame and the height of a sash against the order, "
        "then take packers out along the head, or under the sill, and read again."
    ),
    "gap_wide_everywhere": StoredSentence(
        "Do not turn a carrier: head and sill are {by:g} mm too far apart along the whole chain. "
        "Measure the clear height of the frame and the height of a sash against the order, then "
        "add packers along the head, or under the sill, and read again."
    ),
    "hinge_off": StoredSentence(
        "Do not turn a carrier: the leaf hangs off by {by:g} mm at the hinge of junction "
        "{junction}. Set the hinge, then read again."
    ),
    "sash_racked": StoredSentence(
        "Do not turn a carrier: a sash beside junction {junction} is out of square by {by:g} mm. "
        "Measure the diagonals of both, brace the one that is out again on its blocks, then read "
        "again."
    ),
    "last_sash_racked": StoredSentence(
        "Do not turn a carrier: the sash that ends at junction {junction} is out of square by "
        "{by:g} mm. Measure its diagonals, brace it again on its blocks, then read again."
    ),
    "frame_out_of_level": StoredSentence(
        "Do not turn a carrier: the frame is out of level, {by:g} mm at junction {junction}, and "
        "carriers do not reach that far. Check head and sill with a level, pack them level, then "
        "read again."
    ),
    "carrier_out_of_range": StoredSentence(
        "Do not turn a carrier to the end of its range: the one at junction {junction} would fall "
        "short by {by:g} mm. See that it is seated, else pack head and sill there, then read again."
    ),
}


@dataclass(frozen=True, slots=True)
class CausePlace:
    """The member that a cause is of (`head`, `sill`, `frame`, `sash`, `carrier` or `hinge`), the
    numbers of the junctions where it shows, and mm along head and sill where it shows most."""

    member: str
    junctions: tuple[int, ...]
    at: float


@dataclass(frozen=True, slots=True)
class PackerAdvice:
    """Packers to add (positive) or to take out (negative), mm, and the nearest places for it, mm
    from the left end of the member."""

    member: Member
    places: tuple[float, ...]
    by: float


@dataclass(frozen=True, slots=True)
class ProbableCause:
    """A cause, how probable it is (0 to 1), its size in mm, and what is done first."""

    what: str
    where: CausePlace
    probability: float
    size: float
    do_first: Sentence
    packers: tuple[PackerAdvice, ...] = ()


def weighed_cause(cause: WeighedCause, request: RunningGearRequest) -> ProbableCause:
    """A weighed cause with its place, its act and its packers."""
    return probable_cause(
        cause.what,
        request,
        cause.junctions,
        worst=cause.worst,
        probability=cause.probability,
        size=cause.size,
    )


def probable_cause(
    what: str,
    request: RunningGearRequest,
    junctions: Sequence[int],
    *,
    worst: int,
    probability: float,
    size: float,
    act: Sentence | None = None,
) -> ProbableCause:
    """`junctions` and `worst` by their place in the chain, `size` in mm; its usual act, unless
    another is given."""
    at = request.along(worst)
    packers = _packers(what, request, at, size)
    return ProbableCause(
        what=what,
        where=CausePlace(
            MEMBERS.get(what) or PACKED.get(what, ("frame",))[0],
            tuple(request.number_of(index) for index in junctions),
            at,
        ),
        probability=round(probability, 4),
        size=round(size, 2),
        do_first=act
        or ACTS[_act_of(what, request, worst)](
            junction=request.number_of(worst),
            at=packers[0].places[0] if packers else at,
            by=_by(what, size),
        ),
        packers=packers,
    )


def _act_of(what: str, request: RunningGearRequest, worst: int) -> str:
    """Between two supports it can be either of two sashes, beyond the last one it is the last."""
    last = worst == len(request.junctions) - 1
    return "last_sash_racked" if what == "sash_racked" and last else what


def _packers(
    what: str, request: RunningGearRequest, at: float, size: float
) -> tuple[PackerAdvice, ...]:
    if what not in PACKED:
        return ()
    member, way = PACKED[what]
    known = request.packers.get(member) or (at,)
    nearest = tuple(sorted(known, key=lambda place: abs(place - at))[:NEAREST])
    return (PackerAdvice(member, nearest, way * _by(what, size)),)


def _by(what: str, size: float) -> float:
    """Packers are whole mm; the rest is told to half a mm."""
    return max(LEAST_PACKER_MM, float(round(size))) if what in PACKED else round(size * 2) / 2
