"""How the journal holds a value that somebody may ask to be erased: as an HMAC (RFC 2104)."""

import hashlib
import hmac
from typing import Any

import rfc8785


def keyed_digest(key: str, name: str, value: Any) -> str:
    """HMAC-SHA256 of the value of the field `name`, as canonical JSON; it says nothing once its key
    is gone."""
    message = f"{name}\x00".encode() + rfc8785.dumps(value)
    return "hmac-sha256:" + hmac.new(key.encode(), message, hashlib.sha256).hexdigest()
