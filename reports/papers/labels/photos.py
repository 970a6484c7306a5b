"""Photos as a paper shows them: with an address, a caption and an alternative text."""

from collections.abc import Sequence

from jobs.figures import day
from reports.papers.frozen.job import PhotoFacts
from reports.papers.parts import SCHEME


def part_name(photo_id: str) -> str:
    """The name of a photo's picture among the parts of a paper."""
    return f"photo-{photo_id}"


def photo_labels(photos: Sequence[PhotoFacts], caption: str) -> list[dict[str, str]]:
    """`caption` for photos without one of their own, such as `Photo {number} of defect 2`."""
    return [
        {
            "address": f"{SCHEME}{part_name(photo.id)}",
            "caption": photo.caption or caption.format(number=number),
            "added": day(photo.added_at),
        }
        for number, photo in enumerate(photos, start=1)
    ]
