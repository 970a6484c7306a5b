"""Whatever is declared in `installs/operations.py` is there at every door that follows from it."""

import json
import re
from pathlib import Path
from typing import Any

import pytest
from django.urls import resolve

from installs.api.sync_serializers import OperationSerializer
from installs.operations import OPERATIONS
from installs.views import urls  # noqa: F401 (knows every form)
from installs.views.operation_form import OperationForm
from jobs.models import JournalEntry
from tests.installs.operation_routes import route_of
from tests.installs.queue_study import prepare

# Done before a day of fitting has its steps: `test_survey_queue` does them.
BEFORE_THE_PLAN = {"record_survey", "plan_fitting"}
each = pytest.mark.parametrize(
    "operation", OPERATIONS.values(), ids=lambda operation: operation.name
)


@each
def test_it_is_a_kind_that_a_phone_may_send(operation):
    kinds: Any = OperationSerializer().fields["kind"]
    assert operation.name in kinds.help_text


@each
def test_it_has_an_endpoint_that_takes_its_body(operation):
    address = route_of(operation).split(" ")[1]
    view: Any = resolve(re.sub(r"{\w+}", "5b4f9a52-0d3e-4a77-8d3c-1a2b3c4d5e6f", address)).func
    declared = getattr(view.cls, "operations", {}).get(operation.action)
    assert declared is operation or view.cls.create_serializer is operation.body


@each
def test_it_is_recorded_by_a_form_of_the_pages_on_site(operation):
    named = f'data-operation="{operation.name}"'
    templates = [*Path("installs/templates").rglob("*"), *Path("surveys/templates").rglob("*")]
    written = any(named in page.read_text() for page in templates if page.suffix == ".html")
    assert written or operation in {form.operation for form in _forms(OperationForm)}


def _forms(base):
    """The forms below it that record something."""
    for form in base.__subclasses__():
        if hasattr(form, "operation"):
            yield form
        yield from _forms(form)


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("role", "address"), [("fitter", "/today/"), ("fitter", "/queue/"), ("office", "/queue/")]
)
def test_every_page_that_shows_the_queue_brings_their_labels(
    client, request, installation, role, address
):
    client.force_login(request.getfixturevalue(role))
    page = client.get(address).content.decode()
    (brought,) = re.findall(r'<script id="offline-texts"[^>]*>(.*?)</script>', page)
    labels = json.loads(brought)["operations"]
    assert labels == {name: operation.label for name, operation in OPERATIONS.items()}
    assert all(labels.values())


@pytest.mark.django_db
def test_a_whole_day_does_each_of_them_and_journals_it_under_its_type():
    stage = prepare()
    stage.send(stage.queue)
    assert stage.told == {"conflict": 2, "applied": len(stage.queue) - 2}
    journalled = set(JournalEntry.objects.values_list("record_id", "type"))
    done = {
        operation.name
        for operation in OPERATIONS.values()
        for sent in stage.queue
        if sent["kind"] == operation.name and (sent["record"], operation.journal_type) in journalled
    }
    assert done == set(OPERATIONS) - BEFORE_THE_PLAN
