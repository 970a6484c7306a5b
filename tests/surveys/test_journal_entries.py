"""Every change from the first reading to the order says in the journal what it was."""

import pytest

from surveys.services import instruments, orders
from tests import factories
from tests.journal import types_written_by

pytestmark = pytest.mark.django_db


def test_an_opening_from_its_survey_to_its_order():
    office = factories.person("office")
    opening = factories.opening(office, factories.job(office))
    doorset = factories.doorset(office, opening)
    assert types_written_by(lambda: factories.accepted_survey(office, opening))[-2:] == [
        "survey.recorded",
        "survey.accepted",
    ]
    survey = opening.surveys.get()
    assert types_written_by(lambda: factories.fit_decision(office, survey, doorset)) == [
        "fit.decided"
    ]
    order = {"actor": office, "doorset": doorset, "expected_version": doorset.version}
    assert types_written_by(lambda: orders.order_doorset(**order)) == ["doorset.ordered"]


def test_an_instrument_and_its_next_calibration():
    office = factories.person("office")
    assert types_written_by(lambda: factories.instrument(office)) == ["instrument.added"]
    tape = factories.instrument(office)
    assert types_written_by(
        lambda: instruments.change_instrument(
            actor=office, instrument=tape, expected_version=1, calibration_due=tape.calibration_due
        )
    ) == ["instrument.changed"]
