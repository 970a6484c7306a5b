"""Where files are kept: each is there whole or not at all."""

import errno
import tempfile
from pathlib import Path
from shutil import copyfileobj
from typing import Any

from django.core.files.base import File
from django.core.files.storage import FileSystemStorage

from jobs.errors import StorageFull

FULL = (errno.ENOSPC, errno.EDQUOT)


def is_full(fault: OSError) -> bool:
    """The disk, or what this user may have of it."""
    return fault.errno in FULL


class AtomicFileSystemStorage(FileSystemStorage):
    """Writes beside the place and moves the file there once all of it is written, so that neither
    a full disk nor a process that dies leaves half a file. Raises `StorageFull` for a full disk."""

    def _save(self, name: str, content: File) -> str:
        place = Path(self.path(name)).parent
        draft = Path()
        try:
            place.mkdir(parents=True, exist_ok=True)
            with tempfile.NamedTemporaryFile(dir=place, prefix=".draft-", delete=False) as file:
                draft = Path(file.name)
                content.seek(0)
                copyfileobj(content, file)
            return str(super()._save(name, Written(draft)))  # type: ignore[misc]
        except OSError as fault:
            if is_full(fault):
                raise StorageFull from fault
            raise
        finally:
            if draft.name:
                draft.unlink(missing_ok=True)


class Written(File):
    """A file on this disk, which Django's storage moves and does not copy."""

    def __init__(self, path: Path) -> None:
        super().__init__(None, name=path.name)
        self.written = path

    def temporary_file_path(self) -> str:
        return str(self.written)

    def close(self) -> Any:
        """It is closed already."""
