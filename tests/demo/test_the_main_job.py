"""The demo, played as a newcomer plays it: real processes, real HTTP; every answer on its way is as
the API's description says."""

import email
import email.policy
import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
import requests
from schemathesis import Response

from fixtures_demo.play import scenario
from fixtures_demo.server import PROJECT_DIR
from tests.api_description.description import description
from tests.reports.papers import texts_of_pages

# The demo brings its own database and processes; what this run is set to is not theirs.
OWN_SETTINGS = ("DATABASE_URL", "REDIS_URL", "CELERY_BROKER_URL", "EMAIL_URL")

ANSWERS = "answers.jsonl"


@pytest.fixture(scope="module")
def played(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """Its folder and what it printed."""
    folder = tmp_path_factory.mktemp("demo")
    env = {name: value for name, value in os.environ.items() if name not in OWN_SETTINGS}
    env["SILLWRIGHT_DATA_DIR"] = str(folder)
    done = subprocess.run(
        [sys.executable, "-m", "tests.demo.recorded_play", str(folder / ANSWERS)],
        env=env,
        cwd=PROJECT_DIR,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return folder, done.stdout


@pytest.fixture(scope="module")
def answers(played: tuple[Path, str]) -> list[dict[str, Any]]:
    """All that the service answered, in its order."""
    with (played[0] / ANSWERS).open() as lines:
        return [json.loads(line) for line in lines]


@pytest.fixture(scope="module")
def certificate(played: tuple[Path, str]) -> Path:
    (paper,) = (played[0] / "papers").glob("*-C.pdf")
    return paper


def words(paper: Path) -> str:
    return " ".join(texts_of_pages(paper.read_bytes()))


def test_it_tells_what_was_decided(played):
    _, printed = played
    told = " ".join(printed.split())
    assert "suspect: diagonals.rising" in told
    assert "does not fit" in told
    assert "the wall bulges where no width was read" in told
    assert "measured with the old door out. The frame still fits" in told
    assert "A defect is found" in told
    assert "genuine, the file is identical" in told
    assert "The journal holds" in told


def test_every_answer_is_as_described(answers):
    described = description()
    seen = set()
    for answer in answers:
        path = urlsplit(answer["address"]).path
        operation = described.find_operation_by_path(answer["method"], path)
        assert operation, f"{answer['method']} {path} is not described"
        status = answer["status"]
        assert str(status) in operation.responses.status_codes, f"{operation.label}: {status}"
        operation.validate_response(_as_received(answer))
        seen.add((operation.label, status))
    assert {
        ("POST /api/v1/surveys/", 201),
        ("POST /api/v1/doorsets/{id}/order/", 409),
        ("POST /api/v1/sync/", 200),
        ("POST /api/v1/documents/", 201),
        ("GET /api/v1/documents/{id}/file/", 200),
    } <= seen


def _as_received(answer: dict[str, Any]) -> Response:
    asked = requests.Request(answer["method"], answer["address"]).prepare()
    content = answer["content"].encode("latin-1")
    return Response(answer["status"], answer["headers"], content, asked, elapsed=0, verify=False)


def test_the_certificate_holds_the_job_and_every_reading_with_limit_and_verdict(certificate):
    text = words(certificate)
    assert "SW-" in text
    for opening in scenario()["openings"].values():
        for stage in ("first", "before_removal", "after_removal"):
            for reading in (*opening[stage]["widths"], *opening[stage]["heights"]):
                assert f"{reading['at']} mm {reading['value']} mm" in text
            assert f"{opening[stage]['diagonals']['rising']} mm" in text
    assert "at most 3.29 ✓ pass" in text
    # Its defect: the reading that failed, its limit, and what was done about it.
    bowed = scenario()["bowed"]
    assert "fail" in text
    assert bowed["how"] in text
    # What the customer signed for stands beside their signature.
    left = scenario()["to_come"]
    assert left["description"] in text
    assert left["promise"] in text


def test_the_customer_has_one_e_mail_with_that_certificate(played, certificate):
    (mail,) = (played[0] / "outbox").glob("*.eml")
    message = email.message_from_bytes(mail.read_bytes(), policy=email.policy.default)
    assert message["To"] == scenario()["customer"]["email"]
    (attached,) = message.iter_attachments()
    assert attached.get_content_type() == "application/pdf"
    assert attached.get_content() == certificate.read_bytes()
