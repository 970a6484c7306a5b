"""The service as a role that owns no table: it works, and what was measured it cannot change."""

import json
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit, urlunsplit

import psycopg
import pytest
from django.db import connection
from psycopg import sql

from jobs.database_rights import OURS, models_with_tables, rights_of
from jobs.models import Record
from tests.own_database import own_database

PROJECT_DIR = Path(__file__).resolve().parent.parent.parent
ROLE = f"sillwright_rights_{os.getpid()}"
PASSWORD = "of-the-test-only"
# Said once more, and not read off the models: what no service ever changes or deletes. A new model
# belongs here or into CHANGES; one that is in neither fails under its name.
APPEND_ONLY = {
    "jobs.Delivery",
    "jobs.JournalEntry",
    "jobs.RuleSet",
    "jobs.SealedContent",
    "surveys.FitDecision",
    "surveys.Reading",
    "installs.CarrierLift",
    "installs.Concession",
    "installs.Fixing",
    "installs.Handover",
    "installs.Inspection",
    "installs.JunctionGap",
    "installs.PackerChange",
    "installs.Reading",
    "installs.SetAside",
    "installs.SyncOperation",
    "reports.TimeStamp",
}
CHANGES = {
    "jobs.Crew",
    "jobs.Customer",
    "jobs.Doorset",
    "jobs.EnrolledKey",
    "jobs.Job",
    "jobs.JournalStream",
    "jobs.Opening",
    "jobs.Person",
    "jobs.PersonRole",
    "jobs.ProfileSystem",
    "jobs.Site",
    "jobs.Token",
    "jobs.Visit",
    "jobs.YearCounter",
    "surveys.Instrument",
    "surveys.Photo",
    "surveys.Survey",
    "installs.Bead",
    "installs.Defect",
    "installs.Installation",
    "installs.MakerInstruction",
    "installs.PlanStep",
    "installs.SashRecord",
    "installs.SitePhoto",
    "reports.Dispatch",
    "reports.DispatchAttempt",
    "reports.Document",
    "reports.JournalWitness",
    "reports.WebhookEndpoint",
}
# Columns of records that are changed otherwise.
FROZEN = [
    ("reports.Document", "record"),
    ("reports.Document", "verification_code"),
    ("jobs.Doorset", "opening"),
    ("jobs.Job", "rule_set"),
    ("jobs.Opening", "number"),
    ("jobs.Visit", "kind"),
    ("surveys.Survey", "assessment"),
    ("surveys.Survey", "taken_at"),
    ("installs.PlanStep", "criteria"),
    ("installs.Bead", "number"),
    ("installs.Defect", "severity"),
]
# Of every record, whatever else of it is changed.
OF_EVERY_RECORD = ("id", "created_at", "creation_digest", "seal_key")
DENIED = "permission denied"
Happened = Callable[..., Any]

on_postgresql = pytest.mark.skipif(
    connection.vendor != "postgresql", reason="needs PostgreSQL: set DATABASE_URL to a server"
)


def test_every_model_of_ours_says_what_changes_of_it_or_is_append_only() -> None:
    ours = [model for model in models_with_tables() if model._meta.app_label in OURS]
    own = [model for model in ours if not model._meta.auto_created]
    append_only = {m._meta.label for m in own if rights_of(m).is_append_only}
    assert append_only == APPEND_ONLY
    assert {model._meta.label for model in own} - append_only == CHANGES


def test_no_record_may_be_named_or_dated_anew() -> None:
    for model in models_with_tables():
        if issubclass(model, Record):
            rights = rights_of(model)
            assert not rights.every_column, model
            assert not set(OF_EVERY_RECORD) & set(rights.columns), model


@pytest.fixture(scope="module")
def as_role(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Happened]:
    """Lets something happen on a database of its own, as the role of the service or its owner."""
    folder = tmp_path_factory.mktemp("rights")
    owner = os.environ["DATABASE_URL"]
    with own_database("rights") as address:
        role_address = _as(address, ROLE)

        def happened(*command: str, owner: bool = False) -> str:
            return _done(address if owner else role_address, folder, *command)

        try:
            happened("manage.py", "migrate", "--verbosity", "0", owner=True)
            for _ in range(2):
                happened("manage.py", "grant_rights", ROLE, owner=True)
            yield happened
        finally:
            _forget_role(owner, address)


def _as(address: str, role: str) -> str:
    parts = urlsplit(address)
    host = parts.netloc.rpartition("@")[2]
    return urlunsplit(parts._replace(netloc=f"{role}:{PASSWORD}@{host}"))


def _done(address: str, folder: Path, *command: str) -> str:
    environment = {
        "PATH": os.environ["PATH"],
        "DJANGO_SETTINGS_MODULE": "config.settings",
        "DATABASE_URL": address,
        "SILLWRIGHT_DATA_DIR": str(folder),
        "SERVICE_DATABASE_PASSWORD": PASSWORD,
    }
    done = subprocess.run(
        [sys.executable, *command],
        cwd=PROJECT_DIR,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def _forget_role(server: str, address: str) -> None:
    """A role that something was given is not dropped before that is taken back."""
    with psycopg.connect(address, autocommit=True) as there:
        there.execute(sql.SQL("DROP OWNED BY {}").format(sql.Identifier(ROLE)))
        there.execute(sql.SQL("DROP ROLE {}").format(sql.Identifier(ROLE)))


@pytest.fixture(scope="module")
def work(as_role: Happened) -> Any:
    """A job from survey to certificate, done as the role."""
    outcome(as_role, "begin", owner=True)
    return outcome(as_role, "work")


@pytest.fixture(scope="module")
def answers(as_role: Happened, work: Any) -> Any:
    """What the role is answered when it changes or deletes what it has stored, by model."""
    return outcome(as_role, "refused")


def outcome(happened: Happened, what: str, **more: Any) -> Any:
    return json.loads(happened("-m", "tests.faults.rights", what, **more))


@on_postgresql
@pytest.mark.own_database
class TestTheRoleOfTheService:
    def test_it_does_all_of_a_job_up_to_the_certificate_and_the_seal(self, as_role, work):
        assert work["status"] == "genuine"
        assert work["letters"] == 1
        assert work["entries"] > 50
        assert "The journal holds" in as_role("manage.py", "verify_journal")

    @pytest.mark.parametrize("label", sorted(APPEND_ONLY))
    def test_what_is_append_only_it_neither_changes_nor_deletes(self, answers, label):
        assert [name for name, answer in answers[label].items() if DENIED not in answer] == []

    @pytest.mark.parametrize(("label", "field"), FROZEN)
    def test_what_is_frozen_of_a_record_stays(self, answers, label, field):
        assert DENIED in answers[label][f"change {field}"]

    @pytest.mark.parametrize("field", OF_EVERY_RECORD)
    def test_who_a_record_is_and_when_it_was_made_stays(self, answers, field):
        of_records = [of for of in answers.values() if "change creation_digest" in of]
        changed = [of[f"change {field}"] for of in of_records if f"change {field}" in of]
        assert changed
        assert [answer for answer in changed if DENIED not in answer] == []

    def test_it_empties_no_table(self, answers):
        assert [label for label, answer in answers.items() if DENIED not in answer["empty"]] == []

    def test_the_check_warns_of_the_owner_and_not_of_the_role(self, as_role):
        assert outcome(as_role, "beyond") == []
        assert outcome(as_role, "beyond", owner=True) == ["sillwright.W010"]

    def test_erasing_is_refused_to_it_and_done_by_the_owner(self, as_role, work):
        assert "needs the owner of the database" in outcome(as_role, "erase")
        assert outcome(as_role, "erase", owner=True) == ""
        assert "The journal holds" in as_role("manage.py", "verify_journal")
