"""Which member of the frame a place of a step is about, and what is read there. Pure."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from installs.arithmetic.criteria import Criterion
from installs.arithmetic.packed_members import JAMBS, QUARTERS, MemberName, ReadingKind
from installs.plan.limits import ALONG, JAMB_HEIGHTS
from jobs.sentences import Sentence, sentence

SHARES_ALONG = dict(zip(ALONG, (0.0, *QUARTERS, 1.0), strict=True))
SHARES_UP = dict(zip(JAMB_HEIGHTS, QUARTERS, strict=True))
POSITIVE: dict[ReadingKind, Sentence] = {
    "plumb": sentence("Positive where the top stands further into the opening than the foot."),
    "bow": sentence("Positive where the jamb bends into the opening."),
    "level": sentence("Heights above any one line; higher is more."),
    "diagonal": sentence("Seen from outside."),
}


@dataclass(frozen=True, slots=True)
class PlaceOfFrame:
    """`share`: how far along the member from its left or foot end, where that matters."""

    members: tuple[MemberName, ...]
    kind: ReadingKind
    share: float | None = None


def _jambs() -> Iterator[tuple[str, PlaceOfFrame]]:
    for side in JAMBS:
        yield f"{side}_jamb_in_wall_plane", PlaceOfFrame((side,), "plumb")
        for height, share in SHARES_UP.items():
            yield f"{side}_jamb_{height}", PlaceOfFrame((side,), "bow", share)


PLACES: dict[str, PlaceOfFrame] = {
    **dict(_jambs()),
    "sill_level": PlaceOfFrame(("sill",), "level"),
    "head_level": PlaceOfFrame(("head",), "level"),
    "diagonal_difference": PlaceOfFrame(JAMBS, "diagonal"),
}
"""By the name of what is judged; what else is judged is no matter of packers beside a member."""


def ways_of(criteria: Mapping[str, Criterion]) -> dict[str, Sentence]:
    """Which way a reading counts as positive, by its place, for criteria that packers hold."""
    return {
        place: POSITIVE[PLACES[name].kind]
        for name, criterion in criteria.items()
        if name in PLACES
        for place in criterion.of
    }
