"""The finished job that the tables of permissions are asked about: here are its records, too."""

from collections.abc import Iterator

import pytest
from django.core.signals import request_finished, request_started
from django.db import close_old_connections

from tests.permissions.conftest import _files, _files_of_the_job, finished

__all__ = ["_connection_stays_open", "_files", "_files_of_the_job", "finished"]


@pytest.fixture(autouse=True)
def _connection_stays_open() -> Iterator[None]:
    """The service answers inside the test's own transaction here; a server would end its
    connection with the request, and that transaction with it."""
    signals = (request_started, request_finished)
    for signal in signals:
        signal.disconnect(close_old_connections)
    yield
    for signal in signals:
        signal.connect(close_old_connections)
