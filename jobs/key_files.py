"""Keys of our own making, each in a file of the data folder that its user alone can read."""

import os
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path


def made_once(path: Path, make: Callable[[], bytes]) -> bytes:
    """The content of a key file, which is made the first time.

    Of two processes that start at once, the second takes the key of the first, whole.
    """
    if not path.exists():
        draft = path.with_name(f".{path.name}.{os.getpid()}")
        draft.touch(mode=0o600)
        draft.write_bytes(make())
        with suppress(FileExistsError):
            os.link(draft, path)
        draft.unlink()
    return path.read_bytes()
