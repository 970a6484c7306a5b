"""What recording one thing on site asks of the database, counted as it is sent by a phone.

A day of fitting is some 140 of these, over whatever network there is. The limits are our own.
"""

from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests import factories
from tests.api import signed_in
from tests.installs.queue_session import evidence

pytestmark = pytest.mark.django_db


@pytest.fixture
def statements(fitter):
    """How many statements one request of the fitter's phone takes, savepoints among them."""

    def count(address: str, body: dict[str, Any]) -> int:
        client = signed_in(fitter)
        with CaptureQueriesContext(connection) as asked:
            answer = client.post(address, {"id": str(uuid4())} | body)
        assert answer.status_code == 201, answer.json()
        return len(asked)

    return count


def test_a_screw_takes_16_statements_at_most(statements, fitter, installation):
    factories.fitted(fitter, installation, until="fixing")
    screw = {"member": "left", "position": 150, "kind": "frame_screw", "packers": [5]}
    assert statements("/api/v1/fixings/", screw | {"installation": str(installation.pk)}) <= 16


@pytest.mark.parametrize(("until", "most"), [("sill_level", 27), ("fixing", 21)])
def test_an_inspection_takes_21_statements_at_most_and_27_with_an_act(
    statements, fitter, installation, until, most
):
    """The first behind the gate of fixing, and a reading of the frame, which is answered by what to
    do next: all readings, fixings and packers on record are read for it."""
    factories.fitted(fitter, installation, until=until)
    due = installation.steps.filter(inspections=None).earliest("number")
    body = evidence(due, factories.instrument(fitter))
    assert statements("/api/v1/inspections/", body) <= most
