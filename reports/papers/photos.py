"""Photographs on papers: named in the record by their SHA-256, drawn from their thumbnails."""

from collections.abc import Iterable, Sequence

from installs.models import SitePhoto
from jobs.services.record_check import require_agreement
from reports.papers.frozen.job import PhotoFacts
from reports.papers.labels.photos import part_name
from reports.papers.parts import Part
from reports.papers.plain import instant
from surveys.models import Photo, PhotoRecord

MODELS: dict[str, type[PhotoRecord]] = {"survey": Photo, "site": SitePhoto}
JPEG = "image/jpeg"


def photo_facts(photos: Iterable[PhotoRecord]) -> tuple[PhotoFacts, ...]:
    """Photos as a record names them, in the order in which they came in."""
    return tuple(
        PhotoFacts(
            id=str(photo.pk),
            of="site" if isinstance(photo, SitePhoto) else "survey",
            caption=photo.caption,
            added_at=instant(photo.created_at),
            sha256=photo.sha256,
        )
        for photo in sorted(photos, key=lambda photo: (photo.created_at, photo.pk))
    )


def stored_photos(photos: Sequence[PhotoFacts]) -> dict[str, Part]:
    """The pictures of photos, small where there is a small one: they are small in print.

    Raises `ContradictsJournal` for one that is not the photo that was taken in.
    """
    pictures = {}
    for of, model in MODELS.items():
        wanted = [photo.id for photo in photos if photo.of == of]
        require_agreement(model, wanted)
        for stored in model._default_manager.filter(pk__in=wanted):
            pictures[part_name(str(stored.pk))] = Part(JPEG, _content(stored))
    return pictures


def _content(photo: PhotoRecord) -> bytes:
    with (photo.thumbnail or photo.image).open("rb") as file:
        return bytes(file.read())
