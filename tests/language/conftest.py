"""The finished job of the permission walk, read in the invented language."""

from collections.abc import Iterator
from shutil import which

import pytest
from django.apps import apps
from django.conf import settings
from django.db import models
from django.test import override_settings
from django.utils import translation

from installs.models import PlanStep
from jobs.models import JournalEntry, ProfileSystem, RuleSet
from tests.language.catalogue import LANGUAGE, write_catalogue
from tests.permissions.conftest import _files, _files_of_the_job, finished  # noqa: F401

# They hold texts of ours: what is read of them is translated.
OURS = (PlanStep, JournalEntry)
APPS = {"jobs", "surveys", "installs", "reports"}


@pytest.fixture(scope="session")
def catalogue(tmp_path_factory) -> Iterator[None]:
    if not which("xgettext"):
        pytest.skip("GNU gettext is not installed")
    folder = tmp_path_factory.mktemp("locale")
    write_catalogue(folder)
    with override_settings(LOCALE_PATHS=[str(folder)]):
        yield


@pytest.fixture
def invented_language(catalogue) -> Iterator[None]:
    with translation.override(LANGUAGE):
        yield


@pytest.fixture(scope="package")
def data(finished, django_db_blocker) -> set[str]:  # noqa: F811
    """Whatever somebody typed: every text in the database that no code of ours put there."""
    with django_db_blocker.unblock():
        models = [model for model in apps.get_models() if model._meta.app_label in APPS]
        typed = {value for model in models if model not in OURS for value in _typed(model)}
        of_firm = {settings.FIRM_NAME, settings.FIRM_EMAIL}
        return typed | set(_offered()) | set(_cited()) | of_firm


def _offered() -> Iterator[str]:
    """The names of what profile systems offer: colours, handles, thresholds, ventilators."""
    for system in ProfileSystem.objects.all():
        for choices in system.choices.values():
            for choice in choices:
                yield choice["name"] if isinstance(choice, dict) else choice


def _cited() -> Iterator[str]:
    """The names of rules, which are codes, and their sources, which are cited as they are."""
    for rule_set in RuleSet.objects.all():
        for name, rule in rule_set.rules.rules.items():
            yield name.replace("_", " ").replace(".", ": ")
            yield rule.source


def _typed(model: type[models.Model]) -> Iterator[str]:
    for field in model._meta.get_fields():
        if isinstance(field, models.CharField | models.TextField) and not field.choices:
            yield from model._base_manager.values_list(field.name, flat=True)
