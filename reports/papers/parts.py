"""The parts of a paper beside its text: drawings and photos, each with an address of its own."""

from dataclasses import dataclass

# The only addresses that a paper may use, those of its own parts, begin with it.
SCHEME = "sw:"
SVG = "image/svg+xml"


@dataclass(frozen=True, slots=True)
class Part:
    """A picture or drawing that belongs to the paper."""

    media_type: str
    content: bytes
