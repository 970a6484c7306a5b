"""The firm's instruments on pages."""

from datetime import date, timedelta
from uuid import uuid4

import pytest
from django.utils import timezone

from surveys.models import Instrument
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(client, office):
    client.force_login(office)
    return client


def typed(**values):
    tape = {"name": "Tape, 8 m", "serial": "T-0815", "kind": "tape", "accuracy_class": "II"}
    return {"id": str(uuid4()), "calibration_due": "2099-03-01"} | tape | values


LASER = {
    "kind": "laser",
    "accuracy_class": "",
    "expanded_uncertainty": "1.0",
    "coverage_factor": "2",
}


def test_the_list_says_until_when_each_may_be_used(desk, office):
    today = timezone.localdate()
    factories.instrument(office, calibration_due=today - timedelta(days=1))
    factories.instrument(office, calibration_due=today + timedelta(days=10))
    factories.instrument(office)
    page = desk.get("/instruments/").content.decode()
    assert "out of calibration: not to be used" in page
    assert "in calibration for 10 more days" in page
    assert page.index("not to be used") < page.index("10 more days") < page.index("1 January 2099")


def test_the_office_adds_a_tape_and_a_laser(desk):
    assert desk.post("/instruments/new/", typed(from_end_hook="on")).status_code == 302
    assert desk.post("/instruments/new/", typed(serial="L-1", **LASER)).status_code == 302
    tape, laser = Instrument.objects.order_by("kind", "serial")[::-1]
    assert (tape.accuracy_class, tape.from_end_hook) == ("II", True)
    assert (laser.expanded_uncertainty, laser.calibration_due) == (1.0, date(2099, 3, 1))


@pytest.mark.parametrize(
    ("wrong", "field", "message"),
    [
        ({"accuracy_class": ""}, "accuracy_class", "required for a tape"),
        ({"expanded_uncertainty": "1"}, "expanded_uncertainty", "a tape has no such figure"),
        (LASER | {"coverage_factor": ""}, "coverage_factor", "required for a laser"),
        (LASER | {"expanded_uncertainty": "900"}, "expanded_uncertainty", "not possible"),
        ({"calibration_due": "soon"}, "calibration_due", "date"),
    ],
)
def test_what_cannot_be_is_told_beside_its_field(desk, wrong, field, message):
    answer = desk.post("/instruments/new/", typed(**wrong))
    assert answer.status_code == 400
    assert message in " ".join(answer.context["form"].errors[field])
    assert not Instrument.objects.exists()


def test_a_serial_is_taken_once(desk):
    desk.post("/instruments/new/", typed())
    answer = desk.post("/instruments/new/", typed())
    assert "taken" in " ".join(answer.context["form"].errors["serial"])


def test_a_new_calibration_is_entered_from_the_version_that_was_seen(desk, office):
    tape = factories.instrument(office)
    place = f"/instruments/{tape.pk}/"
    sent = {"id": str(uuid4()), "version": tape.version, "calibration_due": "2099-05-01"}
    assert desk.post(place, sent).status_code == 302
    tape.refresh_from_db()
    assert tape.calibration_due == date(2099, 5, 1)
    stale = desk.post(place, sent)
    assert "Somebody else has changed this" in stale.content.decode()


def test_others_read_the_list_and_change_nothing(client, office):
    tape = factories.instrument(office)
    client.force_login(factories.person("fitter"))
    assert "Add an instrument" not in client.get("/instruments/").content.decode()
    assert client.get("/instruments/new/").status_code == 403
    assert client.get(f"/instruments/{tape.pk}/").status_code == 403


def test_an_empty_list_says_what_is_needed(desk):
    assert "Add the first one" in desk.get("/instruments/").content.decode()
