"""What was set aside on site is kept for good, and the office reads it with its job."""

from uuid import uuid4

import pytest

from installs.models import SetAside
from tests import factories
from tests.api import signed_in
from tests.installs.queue_sending import results

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
