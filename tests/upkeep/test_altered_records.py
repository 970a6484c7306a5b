"""Somebody with access to the database or the files changes what is on record: it is noticed, and
its place is named, whatever table, part or file it is."""

import hashlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.apps import apps
from django.contrib.auth.models import Group, Permission
from django.contrib.contenttypes.models import ContentType
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import models, transaction
from django.test import override_settings
from django.utils import timezone

from installs.models import Defect, MakerInstruction, SetAside, SitePhoto
from installs.models import Reading as FittingReading
from jobs.journal_types import JournalType
from jobs.models import Customer, Journalled, Person
from jobs.services.job_check import check_job
from jobs.services.journal import append_change
from jobs.services.record_check import contradicting_records, contradicting_rows
from jobs.services.records import store_new
from jobs.services.states import journalled_models, parts_of
from reports.models import Document, TimeStamp
from reports.services.documents import withdraw_document
from surveys.models import Photo
from tests.permissions.finished_job import FinishedJob, finished_job
from tests.upkeep import altered
from upkeep.outside_the_journal import (
    OUTSIDE_THE_JOURNAL,
    every_table_is_decided_about,
    undecided,
)

pytestmark = pytest.mark.django_db
STAMPED = b"%PDF-1.7 a paper, and a time behind it"
FORGED = b"%PDF-1.7 another frame, which stands perfectly plumb"


@pytest.fixture(scope="module")
def files(tmp_path_factory) -> Path:
    return tmp_path_factory.mktemp("files")


@pytest.fixture(scope="module")
def finished(django_db_setup, django_db_blocker, files) -> Iterator[FinishedJob]:
    """Built once, inside a transaction that is never stored; each test takes back what it does."""
    quick = override_settings(
        MEDIA_ROOT=files, PASSWORD_HASHERS=["django.contrib.auth.hashers.MD5PasswordHasher"]
    )
    with django_db_blocker.unblock(), transaction.atomic():
        with quick:
            built = finished_job()
            give_staff_rights(built.people["office"])
            stamp(Document.objects.get(kind=Document.Kind.COMPLETION_CERTIFICATE))
        yield built
        transaction.set_rollback(True)


def give_staff_rights(person: Person) -> None:
    """What the pages of administrators can give, which nothing else does."""
    person.groups.add(Group.objects.create(name="staff"))
    # Not one of those that a migration leaves: tests in the browser empty every table.
    of_jobs, _made = ContentType.objects.get_or_create(app_label="jobs", model="job")
    person.user_permissions.add(
        Permission.objects.create(content_type=of_jobs, codename="look", name="May look")
    )
    rights = ("groups", "user_permissions")
    append_change(person, rights, actor=None, entry_type=JournalType.PERSON_CHANGED)


def stamp(document: Document) -> None:
    """With a later time, as an authority outside the firm would give it."""
    now = timezone.now()
    given = TimeStamp(
        document=document,
        number=2,
        authority="an authority",
        stamped_at=now,
        good_until=now,
        sha256=hashlib.sha256(STAMPED).hexdigest(),
    )
    given.file.save("stamped.pdf", ContentFile(STAMPED), save=False)
    store_new(given, actor=None, entry_type=JournalType.DOCUMENT_TIME_STAMPED)


@pytest.fixture(autouse=True)
def _files_of_the_job(_own_folders, settings, files) -> None:
    settings.MEDIA_ROOT = files


def name_of(column) -> str:
    model, field = column
    return f"{model._meta.label}.{field.name}"


def test_nothing_contradicts_where_nobody_altered_anything(finished):
    assert list(contradicting_records()) == []
    assert check_job(finished.job).contradictions == []


@pytest.mark.parametrize("column", list(altered.columns_compared()), ids=name_of)
def test_a_value_altered_in_any_column_is_found_and_its_place_named(finished, column):
    model, field = column
    with altered.without_constraints(model):
        key = altered.alter(model, field)
        contradictions = list(contradicting_rows(record_of(model)))
    assert contradictions, f"{name_of(column)} was altered and nothing was noticed"
    if model is record_of(model) and not field.primary_key:
        assert {(c.kind, c.id, c.place.split(".")[0]) for c in contradictions} == {
            (model._meta.label_lower, key, field.name)
        }


def record_of(model) -> type[Journalled]:
    """The model whose entries hold the rows of this one."""
    for record in journalled_models():
        tables: set[Any] = {part.field.model for part in parts_of(record)}
        tables |= {relation.remote_field.through for relation in record._meta.many_to_many}
        if model is record or model in tables:
            return record
    raise AssertionError(model)


@pytest.mark.parametrize("model", altered.tables_compared(), ids=lambda m: m._meta.label)
def test_a_row_deleted_from_any_table_is_found(finished, model):
    with altered.without_constraints(model):
        altered.delete_row(model)
        assert list(contradicting_records()), f"a row of {model._meta.label} is gone, unnoticed"


def test_rows_put_in_past_the_service_are_found(finished):
    defect = Defect.objects.get()
    with altered.undone():
        copied = Defect(**{f.name: getattr(defect, f.name) for f in Defect._meta.fields[1:]})
        copied.save(force_insert=True)
        (contradiction,) = contradicting_records()
        assert (contradiction.id, contradiction.place) == (str(copied.pk), "")
        assert "no entry" in contradiction.why
        assert check_job(finished.job).contradictions == [contradiction]


def test_a_part_put_in_past_the_service_is_found(finished):
    reading = FittingReading.objects.first()
    with altered.undone():
        FittingReading.objects.create(
            **{f.name: getattr(reading, f.name) for f in FittingReading._meta.fields[1:]}
            | {"place": "a place of its own"}
        )
        (contradiction,) = contradicting_records()
        assert (contradiction.id, contradiction.place) == (str(reading.inspection_id), "readings")


def test_what_an_altered_value_was_and_is_can_be_read(finished):
    reading = FittingReading.objects.filter(decision="pass").first()
    with altered.undone():
        FittingReading.objects.filter(pk=reading.pk).update(decision="fail")
        (contradiction,) = contradicting_records()
    assert contradiction.kind == "installs.inspection"
    assert contradiction.place.startswith("readings.")
    assert contradiction.place.endswith(".decision")
    assert 'says "pass", and there is "fail"' in contradiction.why


def test_nothing_that_is_sealed_is_told(finished):
    customer = Customer.objects.get(pk=finished.job.customer_id)
    with altered.undone():
        Customer.objects.filter(pk=customer.pk).update(name="Somebody Quite Else")
        (contradiction,) = contradicting_records()
    assert contradiction.place == "name"
    assert customer.name not in str(contradiction)
    assert "Somebody Quite Else" not in str(contradiction)
    assert "hmac" not in str(contradiction)


def test_a_value_altered_before_a_service_writes_the_record_again_is_found_still(finished):
    """The next entry holds what was altered, too, but not as changed by its service."""
    document = Document.objects.get(kind=Document.Kind.COMPLETION_CERTIFICATE)
    with altered.undone():
        Document.objects.filter(pk=document.pk).update(sha256=hashlib.sha256(FORGED).hexdigest())
        document.refresh_from_db()
        withdraw_document(
            actor=finished.people["office"],
            document=document,
            expected_version=document.version,
            reason="wrong leaf sizes",
            for_safety=False,
        )
        (contradiction,) = contradicting_records()
    assert (contradiction.id, contradiction.place) == (str(document.pk), "sha256")
    assert "did not change it" in contradiction.why


@pytest.mark.parametrize("what", ["exchanged", "gone"])
@pytest.mark.parametrize(
    ("model", "name"),
    [
        (Document, "file"),
        (TimeStamp, "file"),
        (SitePhoto, "image"),
        (SitePhoto, "thumbnail"),
        (Photo, "image"),
        (Photo, "thumbnail"),
        (SetAside, "image"),
        (SetAside, "thumbnail"),
        (MakerInstruction, "file"),
    ],
)
def test_a_file_that_is_not_the_one_that_was_kept_is_found(finished, model, name, what):
    record = model.objects.exclude(**{name: ""}).earliest("pk")
    path = Path(default_storage.path(getattr(record, name).name))
    kept = path.read_bytes()
    try:
        path.write_bytes(kept + b" ") if what == "exchanged" else path.unlink()
        (contradiction,) = contradicting_records()
        checked = check_job(finished.job).contradictions
    finally:
        path.write_bytes(kept)
    assert (contradiction.kind, contradiction.id) == (model._meta.label_lower, str(record.pk))
    assert contradiction.place == f"{name}.sha256"
    assert (contradiction in checked) is (model is not MakerInstruction), "that is of no job"


def test_every_column_with_a_file_is_among_those_that_are_exchanged():
    files = {
        (model.__name__, field.name)
        for model in journalled_models()
        for field in model._meta.concrete_fields
        if isinstance(field, models.FileField)
    }
    assert files == {
        ("Document", "file"),
        ("TimeStamp", "file"),
        ("SitePhoto", "image"),
        ("SitePhoto", "thumbnail"),
        ("Photo", "image"),
        ("Photo", "thumbnail"),
        ("SetAside", "image"),
        ("SetAside", "thumbnail"),
        ("MakerInstruction", "file"),
    }


# ---------------------------------------------------------------------------------------------
# Nothing is left out by oversight


def test_every_table_is_compared_with_the_journal_or_named_with_why_not():
    all_models = list(apps.get_models(include_auto_created=True))
    assert [model._meta.label for model in undecided(all_models)] == []
    labels = {model._meta.label_lower for model in all_models}
    assert labels >= OUTSIDE_THE_JOURNAL.keys(), "named, and there is no such table"
    assert all(OUTSIDE_THE_JOURNAL.values())


def test_a_table_that_nobody_decided_about_is_named():
    class Nobody(models.Model):
        class Meta:
            app_label = "upkeep"
            managed = False

        def __str__(self) -> str:
            return ""

    try:
        assert undecided([Nobody]) == [Nobody]
        assert [error.id for error in every_table_is_decided_about(None)] == ["upkeep.E001"]
    finally:
        del apps.all_models["upkeep"]["nobody"]
        apps.clear_cache()


def test_the_columns_that_the_journal_leaves_out_are_these():
    left_out = {
        f"{model._meta.label}.{name}"
        for model in journalled_models()
        for name in model.not_journalled
    }
    assert left_out == {
        "jobs.Person.password",
        "jobs.Person.last_login",
        "reports.Document.next_attempt_at",
        "reports.WebhookEndpoint.read_to",
    }
