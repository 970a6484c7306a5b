"""What an archive says of itself."""

import json
from dataclasses import asdict, dataclass, field
from typing import Any

from django.db import connection
from django.db.migrations.recorder import MigrationRecorder

from upkeep.backup.refusals import BackupRefused, DamagedArchive

NAME = "manifest.json"
FORMAT = 1


@dataclass(frozen=True, slots=True)
class Part:
    """`size` in bytes."""

    sha256: str
    size: int


@dataclass(slots=True)
class Manifest:
    """`parts` by their names; `counts` of rows by model; `migrations` that the database was at;
    `missing` files that rows name and that were not there."""

    made_at: str
    migrations: list[str]
    counts: dict[str, int] = field(default_factory=dict)
    parts: dict[str, Part] = field(default_factory=dict)
    missing: list[str] = field(default_factory=list)
    format: int = FORMAT

    def text(self) -> bytes:
        return json.dumps(asdict(self), indent=1, sort_keys=True).encode()


def read_manifest(text: bytes) -> Manifest:
    """Raises `DamagedArchive`, and `BackupRefused` for a format of another release."""
    try:
        manifest: dict[str, Any] = json.loads(text)
        if manifest["format"] != FORMAT:
            raise BackupRefused(f"the archive is of format {manifest['format']}; this is {FORMAT}")
        parts = {name: Part(**part) for name, part in manifest.pop("parts").items()}
        return Manifest(**manifest, parts=parts)
    except (ValueError, KeyError, TypeError, AttributeError):
        raise DamagedArchive(f"{NAME} cannot be read") from None


def applied_migrations() -> list[str]:
    """Of this database, such as `jobs.0001_people`."""
    applied = MigrationRecorder(connection).applied_migrations()
    return sorted(f"{app}.{name}" for app, name in applied)
