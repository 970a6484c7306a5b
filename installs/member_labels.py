"""The sides of a frame by name, as titles and in the middle of a sentence. Pure."""

from jobs.sentences import Sentence, sentence

MEMBER_TITLES: dict[str, Sentence] = {
    "left": sentence("Left jamb"),
    "right": sentence("Right jamb"),
    "head": sentence("Head"),
    "sill": sentence("Sill"),
}
MEMBER_LABELS: dict[str, Sentence] = {
    "left": sentence("left jamb"),
    "right": sentence("right jamb"),
    "head": sentence("head"),
    "sill": sentence("sill"),
}
_UPWARDS, _RIGHTWARDS = sentence("Place, from the foot up"), sentence("Place, from the left end")
# How a place along a member is counted.
PLACE_LABELS: dict[str, Sentence] = {
    "left": _UPWARDS,
    "right": _UPWARDS,
    "head": _RIGHTWARDS,
    "sill": _RIGHTWARDS,
}
