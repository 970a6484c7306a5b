"""The key that checkpoints of the journal are signed with.

It is kept out of the database on purpose: whoever can write there, and nowhere else, can change
the journal and cannot sign what they made of it.
"""

from functools import cache
from pathlib import Path
from urllib.parse import urlsplit

from django.conf import settings

from jobs.checkpoints import PrivateKey
from jobs.key_files import made_once

OWN_KEY = "seal_key"


def seal_key() -> PrivateKey:
    """From `SEAL_KEY`, or of the data folder. Raises `UnreadableCheckpoint` where it is none."""
    return _seal_key(settings.SEAL_KEY, str(settings.DATA_DIR))


@cache
def _seal_key(given: str, folder: str) -> PrivateKey:
    text = given or made_once(Path(folder) / OWN_KEY, _self_made).decode()
    return PrivateKey.read(text.strip())


def _self_made() -> bytes:
    """Under the name of the public address of today; the log keeps it, wherever it moves."""
    parts = urlsplit(settings.PUBLIC_ADDRESS)
    name = f"{parts.netloc.rpartition('@')[2]}{parts.path}/journal".replace("+", "-")
    return PrivateKey.made(name).written().encode()
