"""The folders whose texts are for people, and those where every text is marked."""

from collections.abc import Iterator
from pathlib import Path

PROJECT_DIR = Path(__file__).resolve().parents[2]
FOLDERS = ("config", "jobs", "surveys", "installs", "reports", "office", "upkeep")
# A folder is added here when nothing in its sources is left out any more, and in its pages, which
# show texts of lower floors too.
CLEAN: tuple[str, ...] = FOLDERS
CLEAN_PAGES: tuple[str, ...] = FOLDERS


def sources(folder: str, name: str) -> Iterator[Path]:
    """Files whose texts may reach people; what only maintainers read is left out."""
    for path in sorted((PROJECT_DIR / folder).rglob(name)):
        if not {"migrations", "static", "locale"} & set(path.parts):
            yield path
