"""What the maker of the profiles gives to fitters: taken in, and withdrawn when superseded."""

from django.conf import settings
from django.core.files.base import ContentFile
from django.db import transaction
from django.db.models import Sum
from django.utils import timezone
from django.utils.translation import gettext as _

from installs.maker_files import CleanFile, UnusableFile, clean_file
from installs.models import MakerInstruction
from jobs.errors import Conflict, InvalidField
from jobs.figures import number
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Person, ProfileSystem
from jobs.services.records import store_change, store_new
from surveys.photos import PhotoLimits


def instruction_limits() -> PhotoLimits:
    return PhotoLimits(size=settings.INSTRUCTION_LARGEST_SIZE, pixels=settings.PHOTO_LARGEST_PIXELS)


def add_instruction(
    *,
    actor: Person,
    idempotency_key: IdempotencyKey,
    profile_system: ProfileSystem,
    content: bytes,
    title: str,
    phase: str = "",
) -> MakerInstruction:
    """Store a PDF, PNG or JPEG of a profile system.

    Raises `InvalidField` at /file for one that cannot be kept, that is valid already, or for which
    phones would have no room.
    """
    try:
        clean = clean_file(content, instruction_limits())
    except UnusableFile as error:
        raise InvalidField("/file", str(error)) from error
    instruction = MakerInstruction(
        **idempotency_key.columns,
        profile_system=profile_system,
        title=title,
        phase=phase,
        media_type=clean.media_type,
        size=len(clean.content),
        sha256=clean.sha256,
    )
    try:
        with transaction.atomic():
            _require_room(profile_system, clean)
            instruction.file.save(clean.name, ContentFile(clean.content), save=False)
            return store_new(instruction, actor=actor, entry_type=JournalType.INSTRUCTION_ADDED)
    except Exception:
        # A file is not rolled back with the row that would have named it.
        instruction.file.delete(save=False)
        raise


@transaction.atomic
def withdraw_instruction(
    *, actor: Person, instruction: MakerInstruction, expected_version: int
) -> MakerInstruction:
    """Fitters are not shown it any more; it stays on record. Raises `Conflict` when it is withdrawn
    already."""
    if instruction.withdrawn_at:
        raise Conflict(_("{title} is already withdrawn").format(title=instruction.title))
    return store_change(
        instruction,
        {"withdrawn_at": timezone.now()},
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.INSTRUCTION_WITHDRAWN,
    )


def _require_room(profile_system: ProfileSystem, clean: CleanFile) -> None:
    """Locks the system, so that two that come at once are counted both."""
    ProfileSystem.objects.select_for_update(no_key=True).get(pk=profile_system.pk)
    valid = MakerInstruction.objects.valid().filter(profile_system=profile_system)
    if same := valid.filter(sha256=clean.sha256).first():
        text = _("the same file is there already, as {title}")
        raise InvalidField("/file", text.format(title=same.title))
    largest = settings.INSTRUCTIONS_LARGEST_TOTAL
    total = (valid.aggregate(total=Sum("size"))["total"] or 0) + len(clean.content)
    if total > largest:
        text = _(
            "with it the files of this system come to {total} MB, and phones save at most "
            "{largest} MB of one; withdraw what is superseded, or give a smaller file"
        )
        raise InvalidField(
            "/file",
            text.format(
                total=number(total / 1_000_000, ".1f"), largest=number(largest / 1_000_000)
            ),
        )
