"""The demo, played as a newcomer plays it: one command, real processes, real HTTP."""

import email
import email.policy
import os
import subprocess
import sys
from pathlib import Path

import pytest

from fixtures_demo.play import scenario
from fixtures_demo.server import PROJECT_DIR
from tests.reports.papers import texts_of_pages

# The demo brings its own database and processes; what this run is set to is not theirs.
OWN_SETTINGS = ("DATABASE_URL", "REDIS_URL", "CELERY_BROKER_URL", "EMAIL_URL")


@pytest.fixture(scope="module")
def played(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """Its folder and what it printed."""
    folder = tmp_path_factory.mktemp("demo")
    env = {name: value for name, value in os.environ.items() if name not in OWN_SETTINGS}
    env["SILLWRIGHT_DATA_DIR"] = str(folder)
    done = subprocess.run(
        [sys.executable, "-m", "fixtures_demo.play"],
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
def certificate(played: tuple[Path, str]) -> Path:
    (paper,) = (played[0] / "papers").glob("*-C.pdf")
    return paper


def words(paper: Path) -> str:
    return " ".join(texts_of_pages(paper.read_bytes()))


def test_it_tells_what_was_decided(played):
    _, told = played
    assert "suspect: diagonals.rising" in told
    assert "does not fit" in told
    assert "A defect is found" in told
    assert "genuine, the file is identical" in told
    assert "The journal holds" in told


def test_the_certificate_holds_the_job_and_every_reading_with_limit_and_verdict(certificate):
    text = words(certificate)
    assert "SW-" in text
    for opening in scenario()["openings"].values():
        for stage in ("first", "before_removal"):
            for reading in (*opening[stage]["widths"], *opening[stage]["heights"]):
                assert f"{reading['at']} mm {reading['value']} mm" in text
            assert f"{opening[stage]['diagonals']['rising']} mm" in text
    assert "at most 3.29 ✓ pass" in text
    # Its defect: the reading that failed, its limit, and what was done about it.
    bowed = scenario()["bowed"]
    assert "fail" in text
    assert bowed["how"] in text


def test_the_customer_has_one_e_mail_with_that_certificate(played, certificate):
    (mail,) = (played[0] / "outbox").glob("*.eml")
    message = email.message_from_bytes(mail.read_bytes(), policy=email.policy.default)
    assert message["To"] == scenario()["customer"]["email"]
    (attached,) = message.iter_attachments()
    assert attached.get_content_type() == "application/pdf"
    assert attached.get_content() == certificate.read_bytes()
