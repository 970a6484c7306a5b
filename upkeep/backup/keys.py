"""The keys of an installation, which an archive holds only where it was asked for.

Archives are copied about, and are kept where nobody signs anything. Whoever found one with the keys
in it could sign papers as the firm, and make links and sessions that open its doors. Nothing is
lost without them: papers that were issued are known by their SHA-256, and a key is made anew. What
ends is what the old key of the service signed: links in customers' letters, and being signed in.
"""

import os
from collections.abc import Iterator
from pathlib import Path

from django.conf import settings

from reports.signing import OWN_KEY

SECRET_KEY = "secret_key"  # noqa: S105  the name of its file
FOLDER = "keys/"


def own_keys() -> Iterator[tuple[str, bytes]]:
    """Name and content of what signs here: cookies and links, and papers once one was signed."""
    yield SECRET_KEY, settings.SECRET_KEY.encode()
    signing_key = Path(settings.SIGNING_KEY_FILE or Path(settings.DATA_DIR) / OWN_KEY)
    if signing_key.exists():
        yield OWN_KEY, signing_key.read_bytes()


def put_key(name: str, content: bytes) -> None:
    """Into the data folder, in place of the one that an empty installation made for itself."""
    path = Path(settings.DATA_DIR) / Path(name).name
    draft = path.with_name(f".{path.name}.{os.getpid()}")
    draft.touch(mode=0o600)
    draft.write_bytes(content)
    draft.replace(path)
