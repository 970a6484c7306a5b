"""From a fitted job to its certificate: the gate, the record, the editions."""

import re
from dataclasses import replace
from datetime import timedelta
from typing import cast

import pytest
from celery import current_app
from django.utils import timezone

from installs.models import Handover, Inspection, Installation, Reading
from installs.notification import notify_by
from installs.services.defects import put_right, record_defect, reinspect
from installs.services.packing import change_packers
from jobs.errors import Conflict, GateClosed
from jobs.idempotency import IdempotencyKey
from jobs.models import JournalStream
from reports.models import Dispatch, Document
from reports.papers.frozen.papers import CertificateRecord
from reports.papers.labels.doorset import summary
from reports.papers.labels.setting_true import setting_true
from reports.services.documents import issue_certificate
from surveys.models import FitDecision
from tests import factories
from tests.api import signed_in
from tests.journal import changed
from tests.reports.fitted import handed_over_job
from tests.reports.papers import texts_of_pages

pytestmark = pytest.mark.django_db


@pytest.fixture
def fitter(office):
    return factories.person("fitter")


@pytest.fixture
def fitted(office, fitter):
    return handed_over_job(office, fitter)


@pytest.fixture
def issue(office):
    """Ask for the certificate; it is not drawn, which takes its time."""

    def issued(job) -> Document:
        return issue_certificate(actor=office, idempotency_key=IdempotencyKey(), job=job)

    return issued


@pytest.fixture
def draw(issue, django_capture_on_commit_callbacks):
    """Ask for the certificate and do what follows the commit: drawing and mailing it."""

    def drawn(job) -> Document:
        with django_capture_on_commit_callbacks(execute=True):
            document = issue(job)
        document.refresh_from_db()
        return document

    return drawn


def scratch(job, fitter):
    """A defect found after the handover."""
    return record_defect(
        actor=fitter,
        idempotency_key=IdempotencyKey(),
        installation=job.openings.get().doorsets.get().installation,
        severity="minor",
        description="Scratch on a bead",
    )


def put_right_and_closed(defect, fitter):
    mended = put_right(
        actor=fitter, defect=defect, expected_version=defect.version, how="bead replaced"
    )
    return reinspect(actor=fitter, defect=mended, expected_version=mended.version, accepted=True)


def text_of(document: Document) -> str:
    with document.file.open("rb") as file:
        return " ".join(texts_of_pages(file.read()))


@pytest.mark.usefixtures("short_papers")
def test_asking_through_the_api_ends_with_a_paper_and_a_letter(
    office, fitted, django_capture_on_commit_callbacks
):
    body = {"job": str(fitted.pk), "kind": "completion_certificate"}
    client = signed_in(office)
    with django_capture_on_commit_callbacks(execute=True):
        answer = client.post("/api/v1/documents/", body)
    assert answer.status_code == 201, answer.content
    assert answer.json()["number"] == f"{fitted.reference}-C"
    document = client.get(f"/api/v1/documents/{answer.json()['id']}/").json()
    assert document["standing"] == "genuine"
    assert Dispatch.objects.get().state == "sent"


def test_a_repeated_request_is_the_same_certificate_and_another_body_a_conflict(office, fitted):
    client = signed_in(office)
    identifier = "6b1f5a1e-2f0c-4f4e-9d63-0f7a3f0a9a11"
    body = {"id": identifier, "job": str(fitted.pk), "kind": "completion_certificate"}
    assert client.post("/api/v1/documents/", body).status_code == 201
    assert client.post("/api/v1/documents/", body).status_code == 200
    other = body | {"job": str(factories.job(office).pk)}
    assert client.post("/api/v1/documents/", other).status_code == 409
    assert Document.objects.count() == 1


def test_the_paper_holds_every_reading_that_was_taken(draw, fitted):
    text = text_of(draw(fitted))
    decided = FitDecision.objects.count()
    assert decided == 2
    for name, count in (("width", 3), ("height", 3), ("sill level", 3), ("plumb, left jamb", 2)):
        assert len(re.findall(rf"{name} [\d ]+mm", text)) >= count * decided
    readings = Reading.objects.exclude(unit__in=("beads", "keys"))
    assert readings.count() > 10
    for reading in readings:
        place = reading.place.replace("_", " ")
        assert re.search(rf"{place} .*?{reading.standard_uncertainty:.2f} mm .*?✓ pass", text)
        for measured_at in reading.measured:
            assert measured_at.replace("_", " ") in text
    for step in {inspection.step for inspection in Inspection.objects.all()}:
        assert step.title in text


def test_the_record_names_the_head_of_the_journal_it_stands_on(issue, fitted):
    head = JournalStream.objects.get(name=fitted.journal_stream).head
    assert issue(fitted).facts["journal"]["head"] == head


def test_a_job_that_was_not_handed_over_is_refused(office, job):
    factories.opening(office, job)
    with pytest.raises(GateClosed) as refused:
        issue_certificate(actor=office, idempotency_key=IdempotencyKey(), job=job)
    assert "handover" in {blocker.code for blocker in refused.value.blockers}
    assert not Document.objects.exists()


def test_a_defect_found_after_the_handover_closes_the_gate_until_it_is_put_right(
    issue, fitted, fitter
):
    defect = scratch(fitted, fitter)
    with pytest.raises(GateClosed):
        issue(fitted)
    put_right_and_closed(defect, fitter)
    defects = issue(fitted).facts["defects"]
    assert [defect["put_right_how"] for defect in defects] == ["bead replaced"]


def test_nothing_changed_is_no_reason_for_another_edition(issue, fitted):
    issue(fitted)
    with pytest.raises(Conflict):
        issue(fitted)
    assert Document.objects.count() == 1


def test_a_new_edition_supersedes_the_one_that_stood(issue, fitted, fitter):
    first = issue(fitted)
    put_right_and_closed(scratch(fitted, fitter), fitter)
    second = issue(fitted)
    first.refresh_from_db()
    assert (first.status, second.status) == ("superseded", "being_made")
    assert (second.number, second.edition) == (first.number, 2)
    assert Document.objects.current().get() == second


def test_hostile_words_of_the_customer_stand_as_words(draw, fitted):
    hostile = '<img src="http://attacker.example.com/x.png"><script>'
    changed(fitted.customer, name=hostile)
    changed(Handover.objects.get(), customer_name=hostile)
    document = draw(fitted)
    assert document.rendered_at, document.failure
    assert re.sub(r"\s", "", hostile) in re.sub(r"\s", "", text_of(document))


def test_a_broker_that_is_away_does_not_undo_the_request(
    office, fitted, settings, django_capture_on_commit_callbacks, time_machine
):
    current_app.conf.task_always_eager = False
    current_app.conf.broker_url = "redis://127.0.0.1:9/0"
    try:
        with django_capture_on_commit_callbacks(execute=True):
            document = issue_certificate(actor=office, idempotency_key=IdempotencyKey(), job=fitted)
    finally:
        current_app.conf.task_always_eager = True
    assert Document.objects.get() == document
    assert document.rendered_at is None


def test_an_opening_that_came_after_the_handover_is_not_certified_with_it(office, fitter):
    job = handed_over_job(office, fitter)
    late = factories.released_doorset(office, factories.opening(office, job, "Side wall"))
    factories.fitted(fitter, factories.planned(office, fitter, late))
    with pytest.raises(GateClosed) as refusal:
        issue_certificate(actor=office, idempotency_key=IdempotencyKey(), job=job)
    assert "handover" in {blocker.code for blocker in refusal.value.blockers}


@pytest.mark.parametrize(
    ("code", "standing", "outcome"),
    [
        ("u_value", "broken", "U over its limit"),
        ("u_value", "question", "not said which limit its U has"),
        ("threshold", "broken", "upstand over its limit"),
        ("threshold", "question", "not said which limit its upstand has"),
    ],
)
def test_a_limit_that_no_gate_decides_is_not_passed_over(office, fitter, code, standing, outcome):
    """A doorset over its U-value may be fitted, but its certificate does not call it within."""
    job = handed_over_job(office, fitter)
    document = issue_certificate(actor=office, idempotency_key=IdempotencyKey(), job=job)
    (doorset,) = cast(CertificateRecord, document.paper_record).doorsets
    assert summary(doorset, [])["outcome"] == "✓ within all limits"
    judged = [
        replace(one, standing=standing) if one.code == code else one for one in doorset.requirements
    ]
    assert summary(replace(doorset, requirements=tuple(judged)), [])["outcome"] == (
        f"✓ but {outcome}"
    )


def test_packers_that_were_changed_stand_with_the_readings_in_their_order(fitter, fitted, issue):
    installation = Installation.objects.get()
    position = installation.plan.fixing_layout.member("left").positions[1]
    change_packers(
        actor=fitter,
        idempotency_key=IdempotencyKey(),
        installation=installation,
        member="left",
        position=position,
        added=[2.0],
        taken=[5.0],
    )
    factories.inspection(fitter, installation.steps.get(code="bow"))
    (doorset,) = cast(CertificateRecord, issue(fitted).paper_record).doorsets
    rows = setting_true(doorset)
    (made,) = (number for number, row in enumerate(rows) if "packers" in row["what"])
    assert rows[made]["where"] == f"left, {position} mm"
    assert rows[made]["what"] == "packers -3 mm: taken out 5 mm, added 2 mm"
    assert {row["where"] for row in rows[made + 1 :]} == {
        "left jamb lower quarter",
        "left jamb middle",
        "left jamb upper quarter",
    }
    assert {"left jamb in wall plane", "diagonal difference"} < {r["where"] for r in rows[:made]}
    assert not any(row["where"].startswith("right") for row in rows)


def test_without_a_change_of_packers_the_certificate_has_no_such_table(fitted, issue):
    (doorset,) = cast(CertificateRecord, issue(fitted).paper_record).doorsets
    assert setting_true(doorset) == []


def test_it_says_what_the_walls_were_taken_for_and_by_which_method(draw, fitted):
    text = text_of(draw(fitted))
    assert "Worked out for walls as they are built" in text
    assert "Walls: Left jamb:" in text


def test_the_last_day_for_the_notice_is_30_days_after_notifiable_work(fitted, issue):
    """Building Regulations 2010 (England and Wales), regulation 20: not later than 30 days."""
    assert issue(fitted).paper_record.handover.notify_by is None
    survey = fitted.openings.get().surveys.order_by("taken_at").last()
    changed(survey, conditions=survey.conditions | {"notifiable": "yes"})
    finished = timezone.localdate(Handover.objects.get().created_at)
    assert notify_by(fitted) == finished + timedelta(days=30)
