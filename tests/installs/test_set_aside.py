"""What was set aside on site is kept for good, and the office reads it with its job."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.utils import timezone

from installs.models import Inspection, SetAside, SitePhoto
from tests import factories
from tests.api import pointers, signed_in
from tests.installs.queue_sending import results, send
from tests.installs.queue_session import evidence
from tests.pictures import opened, picture, upload

pytestmark = pytest.mark.django_db
REASON = "give 0 to 50 mm"


@pytest.fixture
def kept(fitter, installation, queue):
    """Gaps that nobody reads on a doorset, set aside."""
    body = {"installation": str(installation.pk), "junction": 1, "sill_gap": 444}
    operation = queue.add("record_gap", str(uuid4()), **body)
    operation["set_aside_because"] = REASON
    assert results(signed_in(fitter), operation, operation) == ["set_aside", "set_aside"]
    return SetAside.objects.get()


def test_the_office_reads_on_the_job_page_what_was_read_and_why_it_was_refused(
    client, office, job, kept
):
    client.force_login(office)
    page = client.get(f"/jobs/{job.reference}/").content.decode()
    assert "Set aside on site" in page
    assert "444" in page
    assert REASON in page
    assert "Record set aside" in client.get(f"/jobs/{job.reference}/journal/").content.decode()


def test_it_is_listed_for_whoever_sees_the_job_and_nobody_changes_it(office, kept, job):
    address = "/api/v1/set-aside/"
    (listed,) = signed_in(office).get(f"{address}?job={job.pk}").json()["results"]
    assert (listed["body"]["sill_gap"], listed["reason"]) == (444, REASON)
    stranger = signed_in(factories.person("fitter"))
    assert stranger.get(address).json()["results"] == []
    for method in ("put", "patch", "delete"):
        change = getattr(signed_in(office), method)
        assert change(f"{address}{kept.pk}/", {}).status_code == 405


def test_what_was_set_aside_is_never_recorded_by_a_request_that_comes_late(fitter, kept, queue):
    (operation,) = queue.operations
    late = {name: value for name, value in operation.items() if name != "set_aside_because"}
    assert results(signed_in(fitter), late) == ["set_aside"]


def test_what_a_customer_may_ask_to_be_erased_is_not_kept(fitter, installation, job, queue):
    operation = queue.add(
        "hand_over", str(uuid4()), job=str(job.pk), customer_name="Customer Example", keys={}
    )
    operation["set_aside_because"] = "not yet"
    assert results(signed_in(fitter), operation) == ["set_aside"]
    kept = SetAside.objects.get()
    assert kept.job == job
    assert "Customer" not in str(kept.body)


# -- read with what proves nothing -------------------------------------------------------------


def test_a_reading_of_an_instrument_out_of_calibration_is_set_aside_with_its_cure(
    client, fitter, step, queue
):
    """Not refused: nothing that is typed mends it, and what depends on it goes on."""
    office, installation = factories.person("office"), step("sill_level").installation
    overdue = timezone.localdate() - timedelta(days=1)
    stale = factories.instrument(office, name="Old tape", calibration_due=overdue)
    good = factories.instrument(office, name="Good tape")
    factories.fitted(fitter, installation, until="sill_level")
    body = evidence(step("sill_level"), stale)
    read = queue.add("inspect_step", str(uuid4()), **body)
    again = queue.add("inspect_step", str(uuid4()), **body | {"instrument": str(good.pk)})
    phone = signed_in(fitter)
    first, second = send(phone, read, again)
    assert (first["result"], second["result"]) == ("set_aside", "applied")
    assert "the calibration of Old tape" in first["set_aside_because"]
    assert "read again with one of these: Good tape" in first["set_aside_because"]
    assert Inspection.objects.get(step=step("sill_level")).instrument == good
    kept = SetAside.objects.get()
    assert (kept.kind, kept.job, kept.body["instrument"]) == (
        "inspect_step",
        installation.job,
        str(stale.pk),
    )
    # The answer was lost on the way: a repeat says the same.
    assert send(phone, read) == [first]
    client.force_login(office)
    assert "Good tape" in client.get(f"/jobs/{installation.job.reference}/").content.decode()


def test_a_reading_of_an_instrument_that_cannot_show_the_limits_is_set_aside(
    office, fitter, installation, step, queue
):
    gauge = factories.instrument(
        office, kind="gauge", name="Gauge", expanded_uncertainty=0.1, coverage_factor=2
    )
    factories.fitted(fitter, installation, until="diagonals")
    read = queue.add("inspect_step", str(uuid4()), **evidence(step("diagonals"), gauge))
    (answer,) = send(signed_in(fitter), read)
    assert answer["result"] == "set_aside"
    assert "this kind of instrument cannot read this" in answer["set_aside_because"]


# -- photographs -------------------------------------------------------------------------------


def set_photo_aside(person, content=None, **fields):
    said = {
        "id": str(uuid4()),
        "image": upload(picture() if content is None else content),
        "made_at": timezone.now().isoformat(),
        "set_aside_because": "the plan was made anew",
    }
    return signed_in(person).post("/api/v1/set-aside/photos/", said | fields, format="multipart")


def test_a_photo_that_was_refused_is_kept_with_its_picture_and_the_office_sees_it(
    client, office, fitter, installation
):
    answer = set_photo_aside(fitter, installation=str(installation.pk), step="gone", caption="Sill")
    assert answer.status_code == 201, answer.content
    kept = SetAside.objects.get()
    assert (kept.kind, kept.job) == ("photo", installation.job)
    assert (kept.body["caption"], kept.body["step"]) == ("Sill", "gone")
    assert not SitePhoto.objects.exists()
    for name, size in (("image", (640, 480)), ("thumbnail", (480, 360))):
        address = f"/api/v1/set-aside/{kept.pk}/{name}/"
        assert opened(signed_in(office).get(address).getvalue()).size == size
        assert signed_in(factories.person("fitter")).get(address).status_code == 404
    client.force_login(office)
    page = client.get(f"/jobs/{installation.job.reference}/").content.decode()
    assert "the plan was made anew" in page
    assert f"/api/v1/set-aside/{kept.pk}/image/" in page


def test_a_photo_is_set_aside_once_however_often_it_is_sent(fitter, installation):
    same = {"id": str(uuid4()), "made_at": timezone.now().isoformat()}
    sent_at = timezone.now().isoformat()
    assert set_photo_aside(fitter, **same).status_code == 201
    assert set_photo_aside(fitter, **same, sent_at=sent_at).status_code == 201
    assert SetAside.objects.count() == 1


def test_what_is_no_picture_is_not_set_aside_either(fitter):
    assert pointers(set_photo_aside(fitter, b"%PDF-1.7")) == ["/image"]
    assert not SetAside.objects.exists()
