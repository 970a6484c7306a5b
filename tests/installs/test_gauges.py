"""A gap gauge measures gaps: no diagonal, no clear height and no opening, whichever way it is sent.

Common practice, no source: a feeler, slip or caliper gauge reaches a few tens of mm.
"""

from dataclasses import replace
from uuid import uuid4

import pytest
from django.test import Client

from installs.plan import draft_steps
from installs.plan.limits import SIZE
from jobs.errors import InvalidField
from surveys.arithmetic.uncertainty import READ_SIZES
from surveys.models import Survey
from tests import factories
from tests.api import pointers, signed_in
from tests.installs.queue_sending import send
from tests.installs.queue_session import Queue, evidence
from tests.installs.test_plan_consistency import FOLDS, RULES, facts_of

pytestmark = pytest.mark.django_db

GOOD = {"kind": "gauge", "expanded_uncertainty": 0.2, "coverage_factor": 2}


@pytest.fixture
def gauge(office):
    return factories.instrument(office, name="Gap gauge", **GOOD)


@pytest.fixture
def diagonals(fitter, installation, step):
    factories.fitted(fitter, installation, until="diagonals")
    return step("diagonals")


@pytest.mark.parametrize("head", ["in_channel", "through_track"])
def test_whatever_step_reads_a_size_is_for_tape_and_laser(head):
    for fold in FOLDS:
        for step in draft_steps(replace(facts_of(fold), head_fixing=head), RULES):
            if any(criterion.highest == SIZE[1] for criterion in step.criteria.values()):
                assert step.instruments == READ_SIZES, step.code


def test_no_diagonal_is_recorded_with_a_gauge(fitter, diagonals, gauge):
    body = evidence(diagonals, gauge) | {"id": str(uuid4())}
    answer = signed_in(fitter).post("/api/v1/inspections/", body)
    assert pointers(answer) == ["/instrument"]
    assert "this kind of instrument cannot read this" in answer.json()["detail"]


def test_no_diagonal_read_with_a_gauge_comes_from_the_queue_of_a_phone(fitter, diagonals, gauge):
    queue = Queue()
    operation = queue.add("inspect_step", str(uuid4()), **evidence(diagonals, gauge))
    (answer,) = send(signed_in(fitter), operation)
    assert answer["result"] == "set_aside"
    assert "cannot read this" in answer["set_aside_because"]


def test_no_page_of_a_size_offers_a_gauge(fitter, diagonals, gauge):
    browser = Client()
    browser.force_login(fitter)
    page = browser.get(f"/fittings/{diagonals.installation_id}/steps/{diagonals.number}/")
    assert "Tape" in page.content.decode()
    assert str(gauge.pk) not in page.content.decode()


@pytest.mark.parametrize("field", ["instrument", "check_instrument", "level_instrument"])
def test_no_opening_is_measured_with_a_gauge(office, job, gauge, field):
    with pytest.raises(InvalidField) as refusal:
        factories.survey(
            office,
            factories.opening(office, job),
            **{"instrument": factories.instrument(office), field: gauge},
        )
    assert refusal.value.pointer == f"/{field}"
    assert not Survey.objects.exists()


@pytest.mark.parametrize(
    ("field", "kind", "reaches", "pointer"),
    [
        ("instrument", factories.TAPE, 3000, "/readings/widths/0/value"),
        ("instrument", factories.TAPE, 4000, "/readings/diagonals/rising"),
        ("gap_instrument", GOOD, 20, "/readings/straightedge/0/hump"),
    ],
)
def test_no_reading_is_beyond_what_its_instrument_reaches(  # noqa: PLR0917
    office, job, field, kind, reaches, pointer
):
    short = factories.instrument(office, name="Short", greatest_reading=reaches, **kind)
    humped = [{"side": "left", "hump": 30}, *factories.READINGS["straightedge"][1:]]
    chosen = {
        "instrument": factories.instrument(office),
        "level_instrument": factories.instrument(office, **factories.LASER),
        "readings": factories.READINGS | {"straightedge": humped},
        field: short,
    }
    with pytest.raises(InvalidField) as refusal:
        factories.survey(office, factories.opening(office, job), **chosen)
    assert refusal.value.pointer == pointer
