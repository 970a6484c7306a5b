"""The folders whose texts are for people."""

from collections.abc import Iterator
from pathlib import Path

PROJECT_DIR = Path(__file__).resolve().parents[2]
FOLDERS = ("config", "jobs", "surveys", "installs", "reports", "office", "upkeep")


def sources(folder: str, name: str) -> Iterator[Path]:
    """Files whose texts may reach people; what only maintainers read is left out."""
    for path in sorted((PROJECT_DIR / folder).rglob(name)):
        if not {"migrations", "static", "locale"} & set(path.parts):
            yield path
