"""The register of journal types: nothing stands in it that no service writes, nothing that a test
does not ask about, and what is public is what other programs may subscribe to."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.conf import settings

from jobs.journal_types import PUBLIC_TYPES, JournalType

PRODUCT = ("jobs", "surveys", "installs", "reports", "office", "upkeep")
HERE = Path(__file__)


def members_in(folder: str) -> Iterator[str]:
    """Members that code of a folder names, and values that it spells."""
    values = set(JournalType.values)
    for path in (Path(settings.PROJECT_DIR) / folder).rglob("*.py"):
        if path.name == "journal_types.py" or path == HERE:
            continue
        for node in ast.walk(ast.parse(path.read_text())):
            if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
                if node.value.id == "JournalType":
                    yield JournalType[node.attr].value
            elif isinstance(node, ast.Constant) and node.value in values:
                yield node.value


@pytest.fixture(scope="module")
def written() -> set[str]:
    return {name for folder in PRODUCT for name in members_in(folder)}


@pytest.fixture(scope="module")
def tested() -> set[str]:
    return set(members_in("tests"))


@pytest.mark.parametrize("entry_type", JournalType.values)
def test_every_type_is_written_by_a_service(entry_type, written):
    assert entry_type in written


@pytest.mark.parametrize("entry_type", JournalType.values)
def test_every_type_is_asked_about_by_a_test(entry_type, tested):
    assert entry_type in tested


def test_what_other_programs_may_hear_of_is_a_contract():
    # Names of events are part of the API: other programs subscribe to them.
    assert sorted(PUBLIC_TYPES) == [
        "concession.granted",
        "defect.closed_on_evidence",
        "defect.found",
        "defect.left_to_come",
        "defect.put_right",
        "defect.reinspected",
        "delivery.recorded",
        "document.made",
        "document.superseded",
        "document.withdrawn",
        "doorset.ordered",
        "fit.decided",
        "installation.planned",
        "installation.replanned",
        "job.handed_over",
        "job.taken_on",
        "letter.accepted",
        "letter.bounced",
        "letter.failed",
        "survey.accepted",
        "survey.recorded",
        "visit.begun",
        "visit.booked",
        "visit.cancelled",
        "visit.ended",
        "visit.moved",
    ]
