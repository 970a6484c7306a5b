"""Photos as a page shows them: with an address, a caption and words for who cannot see them."""

from collections.abc import Mapping, Sequence
from typing import Any

from jobs.figures import day
from reports.papers.parts import SCHEME


def part_name(photo_id: str) -> str:
    """The name of a photo's picture among the parts of a paper."""
    return f"photo-{photo_id}"


def photos_in_words(photos: Sequence[Mapping[str, Any]], of_what: str) -> list[dict[str, str]]:
    """`of_what` completes `Photo 2 ...` where nobody wrote a caption."""
    return [
        {
            "address": f"{SCHEME}{part_name(photo['id'])}",
            "caption": photo["caption"] or f"Photo {number} {of_what}",
            "added": day(photo["added_at"]),
        }
        for number, photo in enumerate(photos, start=1)
    ]
