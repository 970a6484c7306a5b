"""Whether what is on record still holds: the journal, and every file against its SHA-256."""

from collections.abc import Iterator
from typing import Any

from installs.models import SitePhoto
from jobs.services.journal_check import find_flaws
from reports.models import Document, TimeStamp
from surveys.models import Photo, PhotoRecord
from upkeep.backup.archive import part_of


def what_does_not_hold() -> Iterator[str]:
    """In words, one for each chain, paper and photo that is not what it was."""
    for flaw in find_flaws():
        yield f"the journal {flaw.stream}, entry {flaw.number}: {flaw.why}"
    for paper in _papers():
        if why := _differs(paper.file, paper.sha256):
            yield f"the paper {paper}: {why}"
    photos: tuple[type[PhotoRecord], ...] = (Photo, SitePhoto)
    for model in photos:
        for photo in model._default_manager.iterator():
            if why := _differs(photo.image, photo.sha256):
                yield f"the photo {photo.image.name}: {why}"


def _papers() -> Iterator[Document | TimeStamp]:
    """Each as it was issued, and as it was stamped with the time since."""
    yield from Document.objects.kept().defer("record").iterator()
    yield from TimeStamp.objects.exclude(file="").select_related("document").iterator()


def _differs(file: Any, sha256: str) -> str:
    try:
        with file.open("rb") as content:
            same = part_of(content).sha256 == sha256
    except FileNotFoundError:
        return "its file is missing"
    return "" if same else "its file is not the one that was kept"
