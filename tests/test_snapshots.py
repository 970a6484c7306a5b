"""What is laid in is what the services would have stored, and only where it stands for the same."""

from pathlib import Path

import pytest
from django.apps import apps
from django.conf import settings
from django.db import connection, transaction

from installs.models import Installation
from jobs.models import Customer, Job, JournalEntry, Person
from jobs.services.journal_check import find_flaws
from tests import factories
from tests.snapshots import State, built_once, snapshots

pytestmark = pytest.mark.django_db


def fitted_world() -> Installation:
    office, fitter = factories.person("office"), factories.person("fitter")
    planned = factories.installation(office, fitter, factories.job(office))
    return factories.fitted(fitter, planned, until="fixing")


def everything() -> dict[str, list]:
    """All rows of all tables."""
    found = {}
    for model in apps.get_models(include_auto_created=True):
        with connection.cursor() as cursor:
            cursor.execute(f'SELECT * FROM "{model._meta.db_table}"')
            found[model._meta.db_table] = sorted(map(repr, cursor.fetchall()))
    return found


@pytest.fixture
def anew():
    """Do something in an empty database that is empty again afterwards."""

    def do(act):
        with transaction.atomic():
            with snapshots.of_a_test(usable=True):
                done = act()
            transaction.set_rollback(True)
        return done

    return do


@pytest.fixture
def nothing_kept(monkeypatch):
    monkeypatch.setattr(snapshots, "empty", {True: State(), False: State()})


def test_a_world_is_laid_in_row_for_row_as_it_was_built(anew, nothing_kept):
    def world():
        fitted_world()
        return everything()

    built, laid = anew(world), anew(world)
    assert laid == built
    assert len(built["installs_inspection"]) > 10


def test_it_is_built_once(anew, nothing_kept):
    calls = []

    @built_once
    def somebody() -> Person:
        calls.append(1)
        return factories.person("office")

    first, second = anew(somebody), anew(somebody)
    assert first.pk == second.pk
    assert len(calls) == 1


def test_the_services_go_on_from_what_was_laid_in(anew, nothing_kept):
    def world():
        installation = fitted_world()
        fitter = installation.visit.people.get()
        Person.objects.filter(pk=fitter.pk).update(first_name="Sam")
        factories.fixing(fitter, installation)
        assert list(find_flaws()) == []
        return JournalEntry.objects.count()

    assert anew(world) == anew(world)


def test_pictures_are_laid_in_too(anew, nothing_kept, tmp_path):
    def pictured():
        installation = fitted_world()
        step = installation.steps.first()
        photo = factories.site_photo(installation.visit.people.get(), step)
        return photo.image.read()

    built = anew(pictured)
    settings.MEDIA_ROOT = tmp_path / "others"
    assert anew(pictured) == built
    assert [path for path in Path(settings.MEDIA_ROOT).rglob("*") if path.is_file()]


def test_after_a_write_of_the_test_itself_everything_goes_through_the_services(anew, nothing_kept):
    def keys_of_a_job(*, renamed: bool):
        office = factories.person("office")
        customer = factories.customer(office)
        if renamed:
            Customer.objects.filter(pk=customer.pk).update(name="Somebody else")
        return {factories.job(office, customer=customer).pk, Job.objects.get().pk}

    first = anew(lambda: keys_of_a_job(renamed=False))
    assert anew(lambda: keys_of_a_job(renamed=False)) == first
    assert anew(lambda: keys_of_a_job(renamed=True)).isdisjoint(first)


def test_what_is_rolled_back_is_not_counted_on(anew, nothing_kept):
    def after_a_savepoint():
        office = factories.person("office")
        with transaction.atomic():
            factories.customer(office)
            transaction.set_rollback(True)
        factories.site(office)
        return Customer.objects.count(), Person.objects.count()

    assert anew(after_a_savepoint) == (0, 1)
    assert anew(after_a_savepoint) == (0, 1)
