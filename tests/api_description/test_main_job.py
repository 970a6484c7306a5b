"""The whole main job, played by the demo's clients: every answer on its way is as described."""

import urllib.request
from collections.abc import Iterator

import pytest
from django.core.management import call_command

from fixtures_demo import chapters
from fixtures_demo.play import Stage, scenario
from fixtures_demo.server import OFFICE_NAME, OFFICE_PASSWORD
from tests.api_description.description import description
from tests.api_description.in_process import InProcess

pytestmark = pytest.mark.django_db


@pytest.fixture
def way(django_capture_on_commit_callbacks) -> Iterator[InProcess]:
    """For as long as a test lasts, all that is opened by urllib is opened here."""
    found = InProcess(description(), lambda: django_capture_on_commit_callbacks(execute=True))
    urllib.request.install_opener(urllib.request.build_opener(found))
    yield found
    urllib.request.install_opener(urllib.request.build_opener())


def test_every_answer_of_the_main_job_is_as_described(way, tmp_path, monkeypatch):
    monkeypatch.setenv("NEW_PASSWORD", OFFICE_PASSWORD)
    call_command("load_rule_sets")
    call_command("add_person", OFFICE_NAME, "--role", "office", "--first-name", "Office")
    stage = Stage(scenario(), "http://testserver", tmp_path)
    for _, play in chapters.ALL:
        play(stage)
    assert {
        ("POST /api/v1/surveys/", 201),
        ("POST /api/v1/doorsets/{id}/order/", 409),
        ("POST /api/v1/sync/", 200),
        ("POST /api/v1/documents/", 201),
        ("GET /api/v1/documents/{id}/file/", 200),
    } <= way.answered
