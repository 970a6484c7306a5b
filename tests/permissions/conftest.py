"""A whole job takes seconds to build, and nothing here changes it: it is built once, inside a
transaction that is never stored."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from django.db import transaction
from django.test import override_settings

from tests.permissions.finished_job import FinishedJob, finished_job
from tests.snapshots import snapshots


@pytest.fixture(scope="package")
def _files(tmp_path_factory) -> Path:
    return tmp_path_factory.mktemp("files")


@pytest.fixture(scope="package")
def finished(django_db_setup, django_db_blocker, _files) -> Iterator[FinishedJob]:
    quick = override_settings(
        MEDIA_ROOT=_files,
        PASSWORD_HASHERS=["django.contrib.auth.hashers.MD5PasswordHasher"],
    )
    with django_db_blocker.unblock(), transaction.atomic():
        with quick, snapshots.of_a_test(usable=True):
            built = finished_job()
        yield built
        transaction.set_rollback(True)


@pytest.fixture(autouse=True)
def _files_of_the_job(_own_folders, settings, _files) -> None:
    settings.MEDIA_ROOT = _files
