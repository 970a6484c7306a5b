"""Stored calculations of doorsets, read through to the pages that show them."""

import json

import pytest
from django.db.models import TextField
from django.db.models.functions import Cast
from django.urls import reverse

from jobs.calculations import DOORSET_CALCULATION
from jobs.models import Doorset, JournalEntry
from tests import factories
from tests.api import signed_in
from tests.frozen_records import examples

pytestmark = pytest.mark.django_db


@pytest.fixture
def doorset(office):
    job = factories.job(office)
    return factories.doorset(office, factories.opening(office, job))


@pytest.fixture
def office():
    return factories.person("office")


def freeze(doorset, stored) -> Doorset:
    Doorset.objects.filter(pk=doorset.pk).update(calculation=stored)
    return Doorset.objects.get(pk=doorset.pk)


@examples.of_kind("doorset_calculation")
def test_it_is_shown_on_the_page_of_the_doorset_and_of_the_job(client, office, doorset, stored):
    doorset = freeze(doorset, stored)
    client.force_login(office)
    place = [doorset.job.reference, doorset.opening.number]
    page = client.get(reverse("doorset", args=place)).content.decode()
    assert f"{stored['mass']:.1f} kg" in page
    assert f"{stored['leaves'][0]['width']:g} \N{MULTIPLICATION SIGN} " in page
    assert client.get(reverse("job", args=place[:1])).status_code == 200


@examples.of_kind("doorset_calculation")
def test_programs_are_answered_all_of_it_without_the_number_of_its_format(office, doorset, stored):
    path = f"/api/v1/doorsets/{freeze(doorset, stored).pk}/"
    answered = signed_in(office).get(path).json()["calculation"]
    for name in set(stored) - {"leaves", "thermal", "format"}:
        assert answered[name] == stored[name]
    assert answered["thermal"] | stored["thermal"] == answered["thermal"]
    for leaf, frozen in zip(answered["leaves"], stored["leaves"], strict=True):
        assert leaf | frozen == leaf
    assert "format" not in answered


def test_a_new_one_is_stored_and_journalled_with_its_number(doorset):
    text = Cast("calculation", TextField())
    [stored] = Doorset.objects.annotate(text=text).values_list("text", flat=True)
    journalled = JournalEntry.objects.get(record_id=doorset.pk)
    for written in (json.loads(stored), json.loads(journalled.text)["body"]["calculation"]):
        assert written["format"] == DOORSET_CALCULATION.format


def test_one_from_before_lifts_comes_hung_and_unglazed():
    """Then every sash hangs in the frame that is lifted, without the glass of any."""
    stored = examples.stored("doorset_calculation", "1_before_lifts")
    calculation = DOORSET_CALCULATION.read(stored)
    assert (calculation.sashes, calculation.glass) == ("hung", "loose")
    # All but the glass: mass of the finished doorset less that of its panes.
    glass = sum(leaf["glass_mass"] for leaf in stored["leaves"])
    assert calculation.lifted_mass == pytest.approx(stored["mass"] - glass)


def test_one_from_before_emissivities_were_corrected_keeps_its_figures():
    stored = examples.stored("doorset_calculation", "2")["thermal"]
    thermal = DOORSET_CALCULATION.read(examples.stored("doorset_calculation", "2")).thermal
    assert (thermal.u_value, thermal.u_glass) == (stored["u_value"], stored["u_glass"])
    # EN 673, from memory: one decimal.
    assert thermal.u_glass_reported == pytest.approx(stored["u_glass"], abs=0.05)
