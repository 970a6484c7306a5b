"""Keeping photographs of surveys."""

from django.conf import settings
from django.core.files.base import ContentFile
from django.db import transaction

from jobs.identity import Identity
from jobs.models import Person
from jobs.refusals import InvalidField
from jobs.services.records import store_new
from surveys.models import Photo, Survey
from surveys.photos import PhotoLimits, UnusablePhoto, clean_photo


def photo_limits() -> PhotoLimits:
    return PhotoLimits(size=settings.PHOTO_LARGEST_SIZE, pixels=settings.PHOTO_LARGEST_PIXELS)


def add_photo(
    *, actor: Person, identity: Identity, survey: Survey, content: bytes, caption: str = ""
) -> Photo:
    """Store a photograph, re-encoded. Raises `InvalidField` at /image for what cannot be kept."""
    try:
        clean = clean_photo(content, photo_limits())
    except UnusablePhoto as error:
        raise InvalidField("/image", str(error)) from error
    photo = Photo(
        **identity.columns,
        survey=survey,
        caption=caption,
        width=clean.width,
        height=clean.height,
        sha256=clean.sha256,
    )
    photo.image.save(f"{photo.pk}.jpg", ContentFile(clean.content), save=False)
    try:
        with transaction.atomic():
            return store_new(photo, actor=actor, verb="add photo")
    except Exception:
        # A file is not rolled back with the row that would have named it.
        photo.image.delete(save=False)
        raise
