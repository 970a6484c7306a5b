"""Sentences of the pure layers are English text, and are read in another language from that text
alone."""

import copy
import json

import pytest
from django.utils import translation

from jobs import sentences
from jobs.sentences import StoredSentence, sentence
from jobs.translation import translated


@pytest.fixture
def stored(monkeypatch) -> StoredSentence:
    monkeypatch.setattr(StoredSentence, "defined", [])
    return StoredSentence("The joint at the {member} is {width:.1f} mm.")


@pytest.fixture
def another_language(monkeypatch):
    """One of commas and another order of words, for these two sentences."""
    texts = {
        "The joint at the {member} is {width:.1f} mm.": "{width:.1f} mm: la junta de {member}.",
        "Stop.": "Alto.",
    }
    monkeypatch.setattr("jobs.translation.gettext", lambda text: texts.get(text, text))
    with translation.override("es"):
        yield


def test_it_is_the_text_that_an_f_string_would_be():
    made = sentence("{width:g} mm is no size; give over {least:g}", width=3.5, least=100.0)
    assert made == "3.5 mm is no size; give over 100"
    assert json.dumps({"why": made}) == '{"why": "3.5 mm is no size; give over 100"}'
    assert copy.deepcopy(made).values == {"width": 3.5, "least": 100.0}


def test_it_is_read_in_another_language_with_its_numbers(another_language, stored):
    assert translated(stored(member="head", width=4.25)) == "4,2 mm: la junta de head."


def test_so_is_what_a_record_kept_of_it(another_language, stored):
    kept = json.loads(json.dumps(stored(member="head", width=4.25)))
    assert translated(kept) == "4.2 mm: la junta de head."


def test_so_is_a_sentence_inside_another_one(another_language, stored):
    whole = StoredSentence("Caution: {text}")
    kept = json.loads(json.dumps(whole(text=stored(member="head", width=4.25))))
    assert translated(kept) == "Caution: 4.2 mm: la junta de head."
    assert translated(json.loads(json.dumps(whole(text="Stop.")))) == "Caution: Alto."


def test_a_stored_text_without_placeholders_is_looked_up_as_it_is(another_language, stored):
    assert translated("Stop.") == "Alto."


def test_what_somebody_typed_stays_as_it_is(another_language, stored):
    assert translated("The joint looks bad.") == "The joint looks bad."
    assert translated("") == ""


def test_one_name_twice_is_recognised_when_both_are_alike(monkeypatch):
    monkeypatch.setattr(StoredSentence, "defined", [])
    StoredSentence("{member}: fix the {member} again")
    assert sentences.read_stored("sill: fix the sill again").values == {"member": "sill"}
    assert sentences.read_stored("sill: fix the head again") is None
