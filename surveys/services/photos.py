"""Keeping photographs: the files, and the row that names them."""

from collections.abc import Callable
from typing import Any, TypeVar

from django.conf import settings
from django.core.files.base import ContentFile
from django.db import transaction
from django.utils.translation import gettext as _

from jobs.errors import InvalidField
from jobs.figures import number
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Person, Record
from jobs.rules import Rules
from jobs.services.phone_clock import PhoneTime, check_since_job
from jobs.services.records import store_change, store_new
from surveys.models import Photo, PhotoRecord, Survey
from surveys.photos import CleanPhoto, PhotoLimits, UnusablePhoto, clean_photo

P = TypeVar("P", bound=PhotoRecord)
R = TypeVar("R", bound=Record)


def photo_limits() -> PhotoLimits:
    return PhotoLimits(size=settings.PHOTO_LARGEST_SIZE, pixels=settings.PHOTO_LARGEST_PIXELS)


def add_photo(
    *,
    actor: Person,
    idempotency_key: IdempotencyKey,
    survey: Survey,
    content: bytes,
    caption: str = "",
    time: PhoneTime | None = None,
) -> Photo:
    """Store a photograph of a survey, taken at `time`; a wrong clock is put right. Raises
    `InvalidField` at /image for what cannot be kept, `ClockDisagrees` for an impossible time."""
    if time:
        time.check()
        check_since_job(survey, time.recorded_at)
    made_at = time.by_a_wrong_clock if time else None
    photo = Photo(**idempotency_key.columns, survey=survey, caption=caption, made_at=made_at)
    return keep_photo(photo, content, actor=actor, rules=survey.job.rule_set.rules)


@transaction.atomic
def caption_photo(
    *, actor: Person, photo: PhotoRecord, expected_version: int, caption: str
) -> PhotoRecord:
    """Say afterwards what a photograph shows."""
    return store_change(
        photo,
        {"caption": caption},
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.PHOTO_CAPTIONED,
    )


def keep_photo(
    photo: P,
    content: bytes,
    *,
    actor: Person,
    rules: Rules,
    before_storing: Callable[[], None] = lambda: None,
) -> P:
    """Store a photograph with its picture, re-encoded, and its thumbnail.

    `before_storing` takes the locks that the row needs: re-encoding takes too long to hold any.
    Raises `InvalidField` at /image for a file that cannot be kept, and for a picture too small to
    show anything. One of a single colour is kept, and says so.
    """
    clean = read_photo(content)
    _check_side(clean, rules)
    photo.one_colour = clean.spread < rules["photo.least_spread"]
    photo.width, photo.height, photo.sha256 = clean.width, clean.height, clean.sha256

    def store() -> P:
        before_storing()
        return store_new(photo, actor=actor, entry_type=JournalType.PHOTO_ADDED)

    return store_with_picture(photo, clean, store)


def store_with_picture(record: R, clean: CleanPhoto, store: Callable[[], R]) -> R:
    """Keep the files of a record that has an `image` and its `thumbnail`, and then `store` it in
    one transaction; without the row there are no files."""
    files: Any = record
    try:
        files.image.save(f"{record.pk}.jpg", ContentFile(clean.content), save=False)
        files.thumbnail.save(f"{record.pk}-small.jpg", ContentFile(clean.thumbnail), save=False)
        with transaction.atomic():
            return store()
    except Exception:
        # Files are not rolled back with the row that would have named them.
        files.image.delete(save=False)
        files.thumbnail.delete(save=False)
        raise


def _check_side(clean: CleanPhoto, rules: Rules) -> None:
    least = rules["photo.least_side"]
    if min(clean.width, clean.height) < least:
        text = _("{width} x {height} pixels show too little; give at least {least} a side{note}")
        raise InvalidField(
            "/image",
            text.format(
                width=clean.width,
                height=clean.height,
                least=number(least),
                note=rules.note("photo.least_side"),
            ),
        )


def read_photo(content: bytes) -> CleanPhoto:
    """Raises `InvalidField` at /image for a file that cannot be kept."""
    try:
        return clean_photo(content, photo_limits())
    except UnusablePhoto as error:
        raise InvalidField("/image", str(error)) from error
