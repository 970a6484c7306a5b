"""The keys of an installation, which an archive holds only where it was asked for.

Archives are copied about, and are kept where nobody signs anything. Whoever found one with the keys
in it could sign papers as the firm, and make links and sessions that open its doors. Nothing is
lost without them: papers that were issued are known by their SHA-256, and a key is made anew. What
ends is what the old key of the service signed: links in customers' letters, and being signed in.
Checkpoints of the journal go on under another key, and their readers will ask why.
"""

import os
from collections.abc import Iterator
from pathlib import Path

from django.conf import settings

from jobs import seal_key
from reports.signing_key import OWN_KEY, key_file

SECRET_KEY = "secret_key"  # noqa: S105  the name of its file
FOLDER = "keys/"


def own_keys() -> Iterator[tuple[str, bytes]]:
    """Name and content of what signs here: cookies and links, checkpoints of the journal, and
    papers."""
    yield SECRET_KEY, settings.SECRET_KEY.encode()
    yield seal_key.OWN_KEY, seal_key.seal_key().written().encode()
    yield OWN_KEY, key_file().read_bytes()


def put_key(name: str, content: bytes) -> None:
    """Into the data folder, in place of the one that an empty installation made for itself."""
    path = Path(settings.DATA_DIR) / Path(name).name
    draft = path.with_name(f".{path.name}.{os.getpid()}")
    draft.touch(mode=0o600)
    draft.write_bytes(content)
    draft.replace(path)
