"""The folders whose texts are for people, and those where every text is marked."""

from collections.abc import Iterator
from pathlib import Path

PROJECT_DIR = Path(__file__).resolve().parents[2]
FOLDERS = ("config", "jobs", "surveys", "installs", "reports", "office", "upkeep")
# A folder is added here when nothing in its sources is left out any more, and in its pages, which
# show texts of lower floors too. In the end both are `FOLDERS`.
CLEAN: tuple[str, ...] = ("config", "jobs", "surveys", "installs", "office", "upkeep")
CLEAN_PAGES: tuple[str, ...] = ("config", "jobs", "surveys", "installs", "office", "upkeep")


def sources(folder: str, name: str) -> Iterator[Path]:
    """Files whose texts may reach people; what only maintainers read is left out."""
    for path in sorted((PROJECT_DIR / folder).rglob(name)):
        if not {"migrations", "static", "locale"} & set(path.parts):
            yield path
