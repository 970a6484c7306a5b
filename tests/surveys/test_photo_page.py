"""Photos of an opening from a phone: kept, shown small, or refused with the reason."""

from uuid import uuid4

import pytest

from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import JournalEntry
from surveys.models import Photo
from surveys.services.photos import add_photo
from tests import factories
from tests.api import signed_in
from tests.pictures import heic, picture, picture_from_a_phone, upload
from tests.surveys.survey_pages import address

pytestmark = pytest.mark.django_db


@pytest.fixture
def survey(surveyor, opening, survey_visit):
    return factories.survey(surveyor, opening, visit=survey_visit)


@pytest.fixture
def phone(client, surveyor):
    client.force_login(surveyor)
    return client


def send(client, opening, *contents, idempotency_key="", caption=""):
    files = [upload(content) for content in contents]
    sent = {"id": idempotency_key or str(uuid4()), "images": files, "caption": caption}
    return client.post(address(opening, "photos/"), sent, follow=True)


def test_several_photos_are_kept_and_shown_small(phone, opening, survey):
    contents = [picture_from_a_phone(), picture("PNG", colour="red"), heic()]
    page = send(phone, opening, *contents, caption="Left jamb").content.decode()
    assert "3 photos are saved" in page
    assert Photo.objects.filter(survey=survey, caption="Left jamb").count() == 3
    for photo in Photo.objects.all():
        assert f"/api/v1/photos/{photo.pk}/thumbnail/" in page
    assert phone.get(f"/api/v1/photos/{photo.pk}/thumbnail/")["Content-Type"] == "image/jpeg"


def test_what_is_refused_says_why_and_the_rest_is_kept(phone, opening, survey):
    answer = send(phone, opening, picture(), b"<svg/>")
    assert answer.status_code == 400
    page = answer.content.decode()
    assert "1 photo is saved" in page
    assert "not a picture that can be read; give JPEG, PNG or HEIC" in page
    assert "<script>.jpg" not in page
    assert Photo.objects.count() == 1


def test_a_file_that_is_too_large_says_so(phone, opening, survey, settings):
    settings.PHOTO_LARGEST_SIZE = 100
    assert "too large" in send(phone, opening, picture()).content.decode()
    assert not Photo.objects.exists()


def test_pressing_twice_keeps_each_photo_once(phone, opening, survey):
    idempotency_key = str(uuid4())
    for _ in range(2):
        send(phone, opening, picture(), picture(colour="red"), idempotency_key=idempotency_key)
    assert Photo.objects.count() == 2


def test_sending_nothing_says_so_beside_the_field(phone, opening, survey):
    answer = phone.post(address(opening, "photos/"), {"id": str(uuid4())})
    assert answer.context["form"].errors["images"]


def test_photos_wait_for_a_survey(phone, opening, survey_visit):
    assert "Measure the opening first" in phone.get(address(opening, "photos/")).content.decode()
    send(phone, opening, picture())
    assert not Photo.objects.exists()


def test_photos_of_somebody_elses_opening_do_not_exist(client, opening, survey):
    client.force_login(factories.person("surveyor"))
    assert client.get(address(opening, "photos/")).status_code == 404


def test_the_page_costs_the_same_however_many_there_are(
    phone, opening, survey, django_assert_max_num_queries
):
    send(phone, opening, *(picture(colour=colour) for colour in ("red", "blue", "green")))
    with django_assert_max_num_queries(12):
        phone.get(address(opening, "photos/"))


def test_a_caption_is_given_afterwards_and_a_stale_page_changes_nothing(phone, opening, survey):
    send(phone, opening, picture())
    photo = Photo.objects.get()
    form = {"id": str(uuid4()), "version": photo.version, "caption": "Left jamb at the foot, damp"}
    page = phone.post(address(opening, f"photos/{photo.pk}/"), form, follow=True).content.decode()
    assert "Left jamb at the foot, damp" in page
    stale = form | {"caption": "Right jamb"}
    page = phone.post(address(opening, f"photos/{photo.pk}/"), stale, follow=True).content.decode()
    assert "Somebody else has changed this" in page
    photo.refresh_from_db()
    assert (photo.caption, photo.version) == ("Left jamb at the foot, damp", 2)
    last = JournalEntry.objects.filter(record_id=photo.pk).latest("number")
    assert last.type == JournalType.PHOTO_CAPTIONED


def test_a_program_says_afterwards_what_a_photo_shows(surveyor, opening, survey, office):
    photo = add_photo(
        actor=surveyor, idempotency_key=IdempotencyKey(), survey=survey, content=picture()
    )
    change = {"path": f"/api/v1/photos/{photo.pk}/", "data": {"caption": "Lintel"}}
    for person, status in ((factories.person("surveyor"), 404), (surveyor, 200)):
        answer = signed_in(person).patch(**change, headers={"If-Match": '"1"'})
        assert answer.status_code == status, answer.content
    assert answer.json()["caption"] == "Lintel"
