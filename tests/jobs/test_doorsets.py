from datetime import date, timedelta

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from jobs.errors import Conflict
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Doorset, RuleSet
from jobs.rule_texts import read_rules
from jobs.services import doorsets
from jobs.services.records import store_change
from tests import factories
from tests.api import pointers, signed_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def office():
    return factories.person("office")


@pytest.fixture
def opening(office):
    return factories.opening(office, factories.job(office))


def body(office, opening, **values):
    order = factories.doorset_order(**values)
    order["profile_system"] = str(factories.profile_system(office).pk)
    return {"opening": str(opening.pk), **order}


def order_now(office, doorset):
    return store_change(
        doorset,
        {"ordered_at": doorset.created_at},
        expected_version=doorset.version,
        actor=office,
        entry_type=JournalType.DOORSET_ORDERED,
    )


def test_a_draft_is_worked_out_when_it_is_stored(office, opening):
    answer = signed_in(office).post("/api/v1/doorsets/", body(office, opening))
    assert answer.status_code == 201, answer.content
    work = answer.json()["calculation"]
    assert [leaf["number"] for leaf in work["leaves"]] == [1, 2, 3, 4, 5]
    assert work["rule_set"] == factories.NEWEST_RULE_SET


def test_a_second_draft_for_an_opening_is_refused(office, opening):
    factories.doorset(office, opening)
    with pytest.raises(Conflict, match="draft already"):
        factories.doorset(office, opening)


def test_the_database_itself_refuses_a_second_current_doorset(office, opening):
    first = factories.doorset(office, opening)
    second = Doorset.objects.get(pk=first.pk)
    second.pk, second.revision = IdempotencyKey().id, 2
    with pytest.raises(IntegrityError), transaction.atomic():
        second.save(force_insert=True)


@pytest.mark.parametrize(
    "columns",
    [{"left_leaves": 3}, {"leaves": 0, "left_leaves": 0}, {"frame_width": -1}, {"upstand": -1}],
)
def test_the_database_itself_refuses_what_cannot_be_built(office, opening, columns):
    doorset = factories.doorset(office, opening)
    with pytest.raises(IntegrityError), transaction.atomic():
        Doorset.objects.filter(pk=doorset.pk).update(**columns)


def test_a_changed_draft_is_worked_out_again(office, opening):
    doorset = factories.doorset(office, opening)
    answer = signed_in(office).patch(
        f"/api/v1/doorsets/{doorset.pk}/",
        {"frame": {"width": 3000, "height": 2100}},
        headers={"If-Match": '"1"'},
    )
    assert answer.json()["frame"]["width"] == 3000
    narrower = answer.json()["calculation"]["leaves"][0]["width"]
    assert narrower < doorset.calculation.leaves[0].width


def test_an_ordered_doorset_is_not_changed_but_followed_by_a_revision(office, opening):
    first = order_now(office, factories.doorset(office, opening))
    with pytest.raises(Conflict, match="draft a revision"):
        doorsets.change_doorset(
            actor=office, doorset=first, expected_version=first.version, fold="5-3-2"
        )
    second = factories.doorset(office, opening, fold="5-3-2")
    first.refresh_from_db()
    assert first.superseded_at is not None
    assert second.revision == 2
    assert list(opening.doorsets.current()) == [second]


@pytest.mark.parametrize(
    ("wrong", "pointer"),
    [
        ({"fold": "5-4-2"}, "/fold"),
        ({"fold": "five"}, "/fold"),
        ({"frame": {"width": 3.59, "height": 2100}}, "/frame/width"),
        ({"frame": {"width": 3590}}, "/frame/height"),
        ({"frame": {"width": 700, "height": 2100}}, "/frame/width"),
        ({"colour_inside": "tartan"}, "/colour_inside"),
        ({"threshold": "moat"}, "/threshold"),
        ({"glazing": {"layers": [{"cavity": 16}]}}, "/glazing/layers/0"),
        ({"glazing": {"layers": [{"glass": 4, "gas": {"air": 1}}]}}, "/glazing/layers/0/gas"),
        ({"opens": "up"}, "/opens"),
    ],
)
def test_an_order_that_cannot_be_built_names_the_field_and_stores_nothing(
    office, opening, wrong, pointer
):
    answer = signed_in(office).post("/api/v1/doorsets/", body(office, opening, **wrong))
    assert pointers(answer) == [pointer]
    assert not Doorset.objects.exists()


def test_a_width_in_metres_is_answered_as_such(office, opening):
    wrong = body(office, opening, frame={"width": 3.59, "height": 2100})
    answer = signed_in(office).post("/api/v1/doorsets/", wrong)
    assert "looks like metres" in answer.json()["detail"]


def test_a_fitter_may_not_draft_doorsets(office, opening):
    fitter = factories.person("fitter")
    factories.visit(office, opening.job, "fitting", fitter)
    answer = signed_in(fitter).post("/api/v1/doorsets/", body(office, opening))
    assert answer.status_code == 403


def test_a_fitter_records_the_delivery_of_an_ordered_doorset(office, opening):
    doorset = order_now(office, factories.doorset(office, opening))
    fitter = factories.person("fitter")
    factories.visit(office, opening.job, "fitting", fitter)
    delivery = {
        "doorset": str(doorset.pk),
        "delivered_on": timezone.localdate().isoformat(),
        "frame": {"width": 3590, "height": 2100},
        "leaves_counted": 5,
        "accepted": True,
    }
    answer = signed_in(fitter).post("/api/v1/deliveries/", delivery)
    assert answer.status_code == 201, answer.content


def test_a_doorset_that_was_not_ordered_cannot_be_delivered(office, opening):
    delivery = {
        "doorset": str(factories.doorset(office, opening).pk),
        "delivered_on": "2026-01-02",
        "frame": {"width": 3590, "height": 2100},
        "leaves_counted": 5,
        "accepted": True,
    }
    assert pointers(signed_in(office).post("/api/v1/deliveries/", delivery)) == ["/doorset"]


def receive(office, doorset, delivered_on):
    body = {
        "doorset": str(doorset.pk),
        "delivered_on": delivered_on.isoformat(),
        "frame": {"width": 3590, "height": 2100},
        "leaves_counted": 5,
        "accepted": True,
    }
    return signed_in(office).post("/api/v1/deliveries/", body)


@pytest.mark.parametrize("days", [-1, -45_000, 1])
def test_a_doorset_arrives_between_its_order_and_today(office, opening, days):
    doorset = order_now(office, factories.doorset(office, opening))
    day = timezone.localdate() + timedelta(days=days)
    assert pointers(receive(office, doorset, day)) == ["/delivered_on"]
    assert receive(office, doorset, timezone.localdate()).status_code == 201


def test_a_doorset_that_a_revision_took_the_place_of_is_not_received(office, opening):
    ordered = order_now(office, factories.doorset(office, opening))
    factories.doorset(office, opening, fold="5-3-2")
    answer = receive(office, ordered, timezone.localdate())
    assert pointers(answer) == ["/doorset"]
    assert "a revision took this doorset's place" in answer.json()["errors"][0]["detail"]


def test_what_is_neither_true_nor_false_is_not_guessed_at(office, opening):
    answer = signed_in(office).post("/api/v1/doorsets/", body(office, opening, keyed_alike="yes"))
    assert pointers(answer) == ["/keyed_alike"]


def test_a_doorset_that_was_delivered_and_accepted_stands(office, opening):
    doorset = order_now(office, factories.doorset(office, opening))
    doorsets.record_delivery(
        actor=office,
        idempotency_key=IdempotencyKey(),
        doorset=doorset,
        delivered_on=doorset.created_at.date(),
        frame={"width": 3590, "height": 2100},
        leaves_counted=5,
        accepted=True,
    )
    with pytest.raises(Conflict, match="cannot be changed"):
        factories.doorset(office, opening, fold="5-3-2")


def test_a_job_keeps_the_rule_set_it_was_decided_under_when_a_newer_one_arrives(office):
    decided = factories.doorset(office, factories.opening(office, factories.job(office)))
    decided_by = decided.job.rule_set
    newer = decided_by.text.replace(f'"{decided_by.name}"', '"folding-2030"').replace(
        decided_by.issued_on.isoformat(), "2030-01-12"
    )
    stricter = newer.replace("[thermal.u_value]\nvalue = 1.4", "[thermal.u_value]\nvalue = 0.1")
    RuleSet.objects.create(
        name="folding-2030",
        title="Later",
        issued_on=date(2030, 1, 12),
        sha256=read_rules(stricter).sha256,
        text=stricter,
    )
    again = factories.doorset(office, factories.opening(office, decided.job))
    assert again.calculation.rule_set == factories.NEWEST_RULE_SET
    assert again.calculation.thermal.limit == 1.4
    new_job = factories.job(office, rule_set=None)
    later = factories.doorset(office, factories.opening(office, new_job))
    assert later.calculation.rule_set == "folding-2030"
    assert later.calculation.thermal.limit == 0.1
