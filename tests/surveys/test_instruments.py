from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction

from surveys.models import Instrument
from tests import factories
from tests.api import pointers, signed_in

pytestmark = pytest.mark.django_db

TAPE = {
    "name": "Tape, 8 m",
    "kind": "tape",
    "accuracy_class": "II",
    "serial": "T-0815",
    "calibration_due": "2027-03-01",
}
LASER = {
    "name": "Line laser",
    "kind": "laser",
    "expanded_uncertainty": 1.0,
    "coverage_factor": 2,
    "serial": "L-0042",
    "calibration_due": "2027-03-01",
}


@pytest.mark.parametrize("body", [TAPE, LASER])
def test_the_office_enters_an_instrument_with_how_good_it_is(office, body):
    answer = signed_in(office).post("/api/v1/instruments/", body)
    assert answer.status_code == 201, answer.content
    assert answer.json()["serial"] == Instrument.objects.get().serial


def test_a_repeat_is_harmless_and_another_body_a_conflict(office):
    client, body = signed_in(office), {"id": str(uuid4()), **TAPE}
    assert client.post("/api/v1/instruments/", body).status_code == 201
    assert client.post("/api/v1/instruments/", body).status_code == 200
    assert client.post("/api/v1/instruments/", {**body, "name": "x"}).status_code == 409
    assert Instrument.objects.count() == 1


@pytest.mark.parametrize(
    ("body", "pointer"),
    [
        ({n: v for n, v in TAPE.items() if n != "accuracy_class"}, "/accuracy_class"),
        (TAPE | {"expanded_uncertainty": 1}, "/expanded_uncertainty"),
        (TAPE | {"accuracy_class": "IV"}, "/accuracy_class"),
        ({n: v for n, v in LASER.items() if n != "coverage_factor"}, "/coverage_factor"),
        (LASER | {"accuracy_class": "I"}, "/accuracy_class"),
        (LASER | {"expanded_uncertainty": -1}, "/expanded_uncertainty"),
        (TAPE | {"kind": "stick"}, "/kind"),
    ],
)
def test_an_instrument_that_does_not_say_how_good_it_is_is_refused(office, body, pointer):
    assert pointers(signed_in(office).post("/api/v1/instruments/", body)) == [pointer]
    assert not Instrument.objects.exists()


def test_a_serial_that_is_stored_already_is_named(office):
    client = signed_in(office)
    client.post("/api/v1/instruments/", TAPE)
    assert pointers(client.post("/api/v1/instruments/", TAPE)) == ["/serial"]


def test_everybody_reads_instruments_and_only_the_office_enters_them(office, fitter):
    factories.instrument(office)
    client = signed_in(fitter)
    assert len(client.get("/api/v1/instruments/").json()["results"]) == 1
    assert client.post("/api/v1/instruments/", TAPE).status_code == 403


def test_a_new_calibration_is_entered_from_the_version_it_replaces(office):
    instrument = factories.instrument(office)
    path, client = f"/api/v1/instruments/{instrument.pk}/", signed_in(office)
    change = {"calibration_due": "2031-01-01"}
    assert client.patch(path, change).status_code == 428
    assert client.patch(path, change, headers={"If-Match": '"1"'}).status_code == 200
    assert client.patch(path, change, headers={"If-Match": '"1"'}).status_code == 412


def test_a_tape_is_given_no_uncertainty(office):
    path = f"/api/v1/instruments/{factories.instrument(office).pk}/"
    change = {"expanded_uncertainty": 0.5}
    answer = signed_in(office).patch(path, change, headers={"If-Match": '"1"'})
    assert pointers(answer) == ["/expanded_uncertainty"]


def test_the_database_itself_refuses_a_laser_without_uncertainty(office):
    laser = factories.instrument(office, **factories.LASER)
    with pytest.raises(IntegrityError), transaction.atomic():
        Instrument.objects.filter(pk=laser.pk).update(expanded_uncertainty=None)
