"""Photographs of the fitting: what they show, who may add and see them, and what is refused."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.core.files.storage import default_storage
from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.dateparse import parse_datetime

from fixtures_demo.camera import picture_of
from installs.gates import gate_of
from installs.models import SitePhoto
from installs.services.defects import record_defect
from installs.services.photos import add_site_photo
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import JournalEntry
from tests import factories
from tests.api import pointers, signed_in
from tests.pictures import heic, opened, picture, picture_from_a_phone, upload

pytestmark = pytest.mark.django_db

PHOTOS = "/api/v1/site-photos/"


def send(person, installation, content=None, **fields):
    image = upload(picture() if content is None else content)
    path = f"/api/v1/installations/{installation.pk}/photos/"
    return signed_in(person).post(path, {"image": image, **fields}, format="multipart")


def file_of(person, photo, name):
    answer = signed_in(person).get(f"{PHOTOS}{photo}/{name}/")
    assert answer["Content-Type"] == "image/jpeg"
    return answer.getvalue()


def files_in(folder):
    return sorted(folder.rglob("*.jpg"))


@pytest.fixture
def defect(fitter, installation):
    return record_defect(
        actor=fitter,
        idempotency_key=IdempotencyKey(),
        installation=installation,
        severity="minor",
        description="Scratch on the sill",
    )


@pytest.fixture
def other_installation(office, fitter):
    """Another job of the same fitter."""
    return factories.installation(office, fitter, factories.job(office))


# -- what a photo shows -----------------------------------------------------------------------


def test_a_fitter_adds_a_photo_of_a_step_and_gets_it_back(fitter, installation, step):
    sill = step("fix_sill")
    answer = send(fitter, installation, picture(size=(960, 480)), step=sill.pk, caption="Sill")
    assert answer.status_code == 201, answer.content
    photo = answer.json()
    assert (photo["step"], photo["defect"], photo["caption"]) == (str(sill.pk), None, "Sill")
    assert opened(file_of(fitter, photo["id"], "image")).size == (960, 480)
    assert opened(file_of(fitter, photo["id"], "thumbnail")).size == (480, 240)
    assert [kept.step for kept in installation.photos.filter(step=sill)] == [sill]
    assert (
        JournalEntry.objects.filter(type=JournalType.PHOTO_ADDED, record_id=photo["id"]).count()
        == 1
    )


def test_photos_are_found_by_what_they_show(fitter, installation, other_installation, step, defect):
    sent = {
        "step": send(fitter, installation, step=step("fix_sill").pk).json()["id"],
        "defect": send(fitter, installation, defect=defect.pk).json()["id"],
        "whole": send(fitter, installation).json()["id"],
        "other": send(fitter, other_installation).json()["id"],
    }

    def found(**filters):
        results = signed_in(fitter).get(PHOTOS, filters).json()["results"]
        return {photo["id"] for photo in results}

    assert found() == set(sent.values())
    assert found(step=step("fix_sill").pk) == {sent["step"]}
    assert found(defect=defect.pk) == {sent["defect"]}
    assert found(installation=other_installation.pk) == {sent["other"]}
    of_job = {"installation__doorset__opening__job__reference": installation.job.reference}
    assert found(**of_job) == set(sent.values()) - {sent["other"]}


def test_a_step_or_a_defect_of_another_installation_is_named(
    fitter, installation, other_installation, step, defect
):
    foreign = other_installation.steps.get(code="fix_sill")
    assert pointers(send(fitter, installation, step=foreign.pk)) == ["/step"]
    assert pointers(send(fitter, other_installation, defect=defect.pk)) == ["/defect"]
    assert not SitePhoto.objects.exists()


def test_a_step_of_a_job_that_is_not_ones_own_does_not_exist(office, fitter, installation):
    strange = factories.installation(office, factories.person("fitter"), factories.job(office))
    refused = send(fitter, installation, step=strange.steps.first().pk)
    assert pointers(refused) == ["/step"]
    assert "no such record" in refused.json()["detail"]


def test_a_photo_shows_one_thing(fitter, installation, step, defect):
    both = send(fitter, installation, step=step("fix_sill").pk, defect=defect.pk)
    assert pointers(both) == ["/defect"]
    with pytest.raises(IntegrityError, match="site_photo_shows_one_thing"), transaction.atomic():
        SitePhoto.objects.create(
            installation=installation, step=step("fix_sill"), defect=defect, width=1, height=1
        )


# -- what it is worth --------------------------------------------------------------------------


def steps_waiting(installation) -> set[str]:
    return {b.place for b in gate_of(installation, "handover") if b.code == "photo"}


@pytest.mark.parametrize("size", [(1, 1), (640, 479), (200, 6000)])
def test_a_picture_in_which_nothing_can_be_read_is_refused(fitter, installation, size):
    refused = send(fitter, installation, picture(size=size))
    assert pointers(refused) == ["/image"]
    assert "give at least 480 a side" in refused.json()["detail"]
    assert send(fitter, installation, picture(size=(640, 480))).status_code == 201


def test_a_picture_of_one_colour_is_kept_with_a_warning(fitter, installation):
    (warning,) = send(fitter, installation, picture(colour="black")).json()["warnings"]
    assert "one colour" in warning
    assert send(fitter, installation, picture_of("A packer")).json()["warnings"] == []


def test_one_picture_shows_one_step(fitter, installation):
    """Whatever it is sent for: the others wait for a picture of their own."""
    factories.fitted(fitter, installation, until="running_gear")
    installation.photos.all().delete()
    first, second, *others = sorted(steps_waiting(installation))
    steps = {step.code: step for step in installation.steps.all()}
    same = picture_of("The sill")
    assert send(fitter, installation, same, step=steps[first].pk).json()["warnings"] == []
    (warning,) = send(fitter, installation, same, step=steps[second].pk).json()["warnings"]
    assert "for another step before" in warning
    assert steps_waiting(installation) == {second, *others}
    own = picture_of("The head")
    assert send(fitter, installation, own, step=steps[second].pk).json()["warnings"] == []
    assert steps_waiting(installation) == set(others)


# -- when it was taken ------------------------------------------------------------------------


def test_a_photo_keeps_when_it_was_taken(fitter, installation):
    hours_ago = timezone.now() - timedelta(hours=5)
    kept = send(fitter, installation, made_at=hours_ago.isoformat())
    assert kept.status_code == 201, kept.content
    assert parse_datetime(kept.json()["made_at"]) == hours_ago
    assert send(fitter, installation).json()["made_at"] is None


@pytest.mark.parametrize(
    ("off", "reason"),
    [
        (timedelta(minutes=11), "more than 10 minutes ahead"),
        (timedelta(days=-91), "more than 90 days back"),
    ],
)
def test_a_time_at_which_no_photo_can_be_taken_is_refused(fitter, installation, off, reason):
    refused = send(fitter, installation, made_at=(timezone.now() + off).isoformat())
    assert pointers(refused) == ["/made_at"]
    assert reason in refused.json()["detail"]
    assert "the server's clock says" in refused.json()["detail"]


def test_a_photo_of_a_phone_whose_clock_is_wrong_is_put_right_and_keeps_both_times(
    fitter, installation
):
    day, taken = timedelta(days=1), timezone.now() - timedelta(hours=2)
    own = {"id": str(uuid4()), "made_at": (taken + day).isoformat()}
    wrong = own | {"sent_at": (timezone.now() + day).isoformat()}
    refused = send(fitter, installation, **wrong)
    assert pointers(refused) == ["/made_at"]
    assert "the clock of this phone is wrong" in refused.json()["detail"]
    server_time = parse_datetime(refused.json()["server_time"])
    assert server_time
    assert abs(server_time - timezone.now()) < timedelta(minutes=1)
    for sent in (wrong, wrong | {"sent_at": (timezone.now() + day).isoformat()}):
        kept = send(fitter, installation, **sent, clock_offset_s=-86400)
    assert kept.status_code == 200, kept.content
    photo = SitePhoto.objects.get()
    assert (photo.recorded_at, photo.made_at) == (taken, taken + day)


def test_a_repeat_is_harmless_even_when_its_time_has_become_too_old(
    fitter, installation, time_machine
):
    identifier, taken = str(uuid4()), timezone.now().isoformat()
    first = send(fitter, installation, id=identifier, made_at=taken)
    time_machine.move_to(timezone.now() + timedelta(days=100))
    again = send(fitter, installation, id=identifier, made_at=taken)
    assert (first.status_code, again.status_code) == (201, 200)


# -- once -------------------------------------------------------------------------------------


def test_a_repeat_stores_nothing_and_another_body_is_a_conflict(
    fitter, installation, other_installation, settings
):
    identifier = str(uuid4())
    sent = [
        send(fitter, installation, id=identifier),
        send(fitter, installation, id=identifier),
        send(fitter, installation, picture(colour="crimson"), id=identifier),
        send(fitter, installation, id=identifier, caption="Sill"),
        send(fitter, other_installation, id=identifier),
    ]
    assert [answer.status_code for answer in sent] == [201, 200, 409, 409, 409]
    assert SitePhoto.objects.count() == 1
    assert len(files_in(settings.MEDIA_ROOT)) == 2


def test_the_files_go_when_their_row_cannot_be_stored(fitter, installation, settings):
    sent = {"actor": fitter, "idempotency_key": IdempotencyKey(), "installation": installation}
    add_site_photo(**sent, content=picture())
    kept = files_in(settings.MEDIA_ROOT)
    with pytest.raises(IntegrityError), transaction.atomic():
        add_site_photo(**sent, content=picture())
    assert files_in(settings.MEDIA_ROOT) == kept


# -- who --------------------------------------------------------------------------------------


def test_who_sees_the_job_sees_its_photos_and_nobody_else(office, fitter, installation):
    photo = send(fitter, installation).json()["id"]
    surveyor = factories.person("surveyor")
    factories.visit(office, installation.job, "survey", surveyor)
    strangers = [factories.person("fitter"), factories.person("surveyor")]
    for address in ("", f"{photo}/", f"{photo}/image/", f"{photo}/thumbnail/"):
        for person in (office, fitter, surveyor):
            assert signed_in(person).get(PHOTOS + address).status_code == 200
        for stranger in strangers:
            answer = signed_in(stranger).get(PHOTOS + address)
            assert answer.status_code == (404 if address else 200)
    assert signed_in(strangers[0]).get(PHOTOS).json()["results"] == []


def test_only_who_fits_the_doorset_adds_photos(office, fitter, installation):
    surveyor = factories.person("surveyor")
    factories.visit(office, installation.job, "survey", surveyor)
    people = [office, fitter, factories.person("fitter"), surveyor]
    statuses = [send(person, installation).status_code for person in people]
    assert statuses == [201, 201, 404, 403]
    assert SitePhoto.objects.count() == 2


# -- files ------------------------------------------------------------------------------------


def test_a_heic_picture_is_accepted(fitter, installation):
    assert send(fitter, installation, heic()).status_code == 201


def test_where_it_was_taken_is_removed_and_how_the_phone_was_held_is_heeded(fitter, installation):
    """Orientation 6 is a quarter turn (EXIF 2.3, from memory)."""
    sent = picture_from_a_phone(orientation=6, size=(960, 480))
    photo = send(fitter, installation, sent).json()
    assert (photo["width"], photo["height"]) == (480, 960)
    for name, size in (("image", (480, 960)), ("thumbnail", (240, 480))):
        content = file_of(fitter, photo["id"], name)
        assert opened(content).size == size
        assert len(opened(content).getexif()) == 0
        assert b"Secret" not in content


def bomb() -> bytes:
    """A PNG of some kilobytes whose picture would fill gigabytes."""
    claim = bytearray(picture("PNG"))
    claim[16:24] = (40_000).to_bytes(4, "big") * 2
    return bytes(claim)


@pytest.mark.parametrize(
    "content",
    [
        bomb(),
        picture("PNG", size=(300, 300), mode="L"),
        picture("PNG", size=(65_501, 1), mode="1", colour=1),
        b"",
        b"not a picture",
        b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>",
        b"<!DOCTYPE html><!--" + picture() + b"-->",
        picture("GIF"),
        picture(size=(300, 200))[:700],
    ],
    ids=["bomb", "pixels", "long", "empty", "text", "svg", "page", "gif", "cut off"],
)
def test_a_file_that_is_no_photo_is_named_and_nothing_is_kept(
    fitter, installation, settings, content
):
    settings.PHOTO_LARGEST_PIXELS = 80_000
    assert pointers(send(fitter, installation, content)) == ["/image"]
    assert not SitePhoto.objects.exists()
    assert files_in(settings.MEDIA_ROOT) == []


def test_what_hides_behind_a_picture_and_in_its_name_is_not_kept(fitter, installation):
    photo = send(fitter, installation, picture() + b"<script>alert(1)</script>").json()["id"]
    assert b"<script" not in file_of(fitter, photo, "image")
    kept = SitePhoto.objects.get()
    for file in (kept.image, kept.thumbnail):
        assert photo in str(file)
        assert "script" not in str(file)
        assert default_storage.exists(str(file))
