from io import BytesIO
from uuid import uuid4

import numpy as np
import pytest
from django.core.files.storage import FileSystemStorage
from django.db import IntegrityError, transaction
from PIL import Image, ImageColor, ImageFile

from jobs.idempotency import IdempotencyKey
from surveys.models import Photo
from surveys.photos import PhotoLimits, UnusablePhoto, clean_photo
from surveys.services.photos import add_photo
from tests import factories
from tests.api import pointers, signed_in
from tests.pictures import heic, opened, picture, picture_from_a_phone, upload

LIMITS = PhotoLimits(size=200_000, pixels=1_000_000)


@pytest.mark.parametrize(
    "content", [picture(), picture("PNG"), heic()], ids=["jpeg", "png", "heic"]
)
def test_pictures_of_phones_are_kept_as_jpeg(content):
    clean = clean_photo(content, LIMITS)
    kept = Image.open(BytesIO(clean.content))
    assert kept.format == "JPEG"
    assert kept.size == (clean.width, clean.height)


def test_where_a_picture_was_taken_is_not_kept():
    clean = clean_photo(picture_from_a_phone(), LIMITS)
    for kept in (clean.content, clean.thumbnail):
        assert len(opened(kept).getexif()) == 0
        assert b"Secret" not in kept
        assert b"Exif" not in kept


def test_a_picture_is_turned_the_way_it_was_taken():
    """Orientation 6 is a quarter turn (EXIF 2.3, from memory)."""
    clean = clean_photo(picture_from_a_phone(orientation=6), LIMITS)
    assert (clean.width, clean.height) == (480, 640)
    assert opened(clean.thumbnail).size == (360, 480)


@pytest.mark.parametrize(
    ("size", "small"),
    [((960, 480), (480, 240)), ((300, 900), (160, 480)), ((480, 360), (480, 360))],
)
def test_a_thumbnail_is_the_same_picture_no_longer_than_480_pixels(size, small):
    """Both sides shrink by one factor (closed form); what is small already stays as it is."""
    clean = clean_photo(picture(size=size, colour="crimson"), LIMITS)
    thumbnail = opened(clean.thumbnail)
    assert (thumbnail.format, thumbnail.size) == ("JPEG", small)
    assert (clean.width, clean.height) == opened(clean.content).size == size
    assert np.asarray(thumbnail, dtype=int)[20, 20] == pytest.approx(
        ImageColor.getrgb("crimson"), abs=4
    )


def test_what_is_transparent_becomes_white():
    clean = clean_photo(picture("PNG", mode="RGBA"), LIMITS)
    assert Image.open(BytesIO(clean.content)).mode == "RGB"
    seen_through = BytesIO()
    Image.new("RGBA", (8, 8), (0, 0, 0, 0)).save(seen_through, "PNG")
    white = clean_photo(seen_through.getvalue(), LIMITS)
    assert min(Image.open(BytesIO(white.content)).getpixel((4, 4))) > 250


def test_a_small_file_with_too_many_pixels_is_refused_unread(monkeypatch):
    bomb = picture("PNG", size=(1200, 1000), mode="L")
    assert len(bomb) < LIMITS.size
    monkeypatch.setattr(Image.Image, "load", lambda *_: pytest.fail("it was decoded"))
    with pytest.raises(UnusablePhoto, match="1200 x 1000 pixels are too many"):
        clean_photo(bomb, LIMITS)


def test_a_header_that_claims_a_billion_pixels_is_refused():
    claim = bytearray(picture("PNG", size=(10, 10)))
    claim[16:24] = (40_000).to_bytes(4, "big") * 2
    with pytest.raises(UnusablePhoto):
        clean_photo(bytes(claim), LIMITS)


def test_a_file_with_too_many_bytes_is_refused():
    with pytest.raises(UnusablePhoto, match=r"at most 0\.2 MB"):
        clean_photo(b"x" * 200_001, LIMITS)


@pytest.mark.parametrize("size", [(65_501, 1), (1, 65_501)])
def test_a_picture_too_long_for_a_jpeg_is_refused(size):
    """A frame header counts lines and samples in 16 bits (ITU-T T.81, B.2.2, from memory); the
    encoder stops at 65 500 and says so (reference library: Pillow 13 with its libjpeg)."""
    with pytest.raises(UnusablePhoto, match="sides of at most 65500"):
        clean_photo(picture("PNG", size=size, mode="L", colour="white"), LIMITS)


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        b"<!DOCTYPE html><script>/*" + picture() + b"*/</script>",
        b"GIF89a" + b"\0" * 50,
        b"%PDF-1.7",
        picture("BMP", size=(40, 20)),
        picture("GIF"),
        b"\xff\xd8\xff\xe0" + b"\0" * 40,
    ],
    ids=[
        "nothing",
        "svg",
        "page",
        "broken gif",
        "pdf",
        "bmp",
        "gif",
        "jpeg by its first bytes only",
    ],
)
def test_anything_else_is_refused(content):
    with pytest.raises(UnusablePhoto, match="JPEG, PNG or HEIC"):
        clean_photo(content, LIMITS)


def test_a_page_hidden_behind_a_picture_is_not_kept():
    clean = clean_photo(picture() + b"<svg onload=alert(1)><script>", LIMITS)
    assert b"<s" not in clean.content + clean.thumbnail


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_a_picture_that_was_cut_off_is_refused(kind):
    ImageFile.LOAD_TRUNCATED_IMAGES = True  # as another library leaves it
    whole = picture(kind, size=(300, 300))
    with pytest.raises(UnusablePhoto, match="not complete"):
        clean_photo(whole[: len(whole) // 2], LIMITS)


# --- with records


@pytest.fixture
def survey(office, opening, survey_visit):
    return factories.survey(office, opening, visit=survey_visit)


def send(person, survey, content=None, **fields):
    named = upload(picture() if content is None else content)
    path = f"/api/v1/surveys/{survey.pk}/photos/"
    return signed_in(person).post(path, {"image": named, **fields}, format="multipart")


@pytest.mark.django_db
def test_a_surveyor_adds_a_photo_and_gets_it_back(surveyor, survey):
    answer = send(surveyor, survey, caption="Left jamb")
    assert answer.status_code == 201, answer.content
    assert answer.json()["caption"] == "Left jamb"
    path = f"/api/v1/photos/{answer.json()['id']}/image/"
    image = signed_in(surveyor).get(path)
    assert image["Content-Type"] == "image/jpeg"
    content = image.getvalue()
    assert Image.open(BytesIO(content)).size == (640, 480)


@pytest.mark.django_db
def test_a_photo_has_a_thumbnail_kept_beside_it(surveyor, survey):
    photo = send(surveyor, survey, picture(size=(960, 480))).json()["id"]
    thumbnail = signed_in(surveyor).get(f"/api/v1/photos/{photo}/thumbnail/")
    assert thumbnail["Content-Type"] == "image/jpeg"
    assert opened(thumbnail.getvalue()).size == (480, 240)


@pytest.mark.django_db
def test_a_photo_from_before_there_were_thumbnails_is_shown_whole(surveyor, survey):
    photo = send(surveyor, survey, picture(size=(960, 480))).json()["id"]
    Photo.objects.update(thumbnail="")
    thumbnail = signed_in(surveyor).get(f"/api/v1/photos/{photo}/thumbnail/")
    assert opened(thumbnail.getvalue()).size == (960, 480)


@pytest.mark.django_db
def test_a_client_may_ask_for_jpeg_and_still_reads_refusals(surveyor, survey):
    client = signed_in(surveyor)
    path = f"/api/v1/photos/{send(surveyor, survey).json()['id']}/image/"
    assert client.get(path, headers={"Accept": "image/jpeg"}).status_code == 200
    missing = client.get(f"/api/v1/photos/{uuid4()}/image/", headers={"Accept": "image/jpeg"})
    assert missing.status_code == 404
    assert missing["Content-Type"] == "application/problem+json"


@pytest.mark.django_db
def test_the_name_of_the_file_is_not_kept(surveyor, survey):
    send(surveyor, survey)
    photo = Photo.objects.get()
    assert "script" not in f"{photo.image} {photo.thumbnail}"


@pytest.mark.django_db
def test_a_repeat_is_harmless_and_another_picture_a_conflict(surveyor, survey):
    identifier = str(uuid4())
    statuses = [
        send(surveyor, survey, content, id=identifier).status_code
        for content in (picture(), picture(), picture("PNG"))
    ]
    assert statuses == [201, 200, 409]
    assert Photo.objects.count() == 1


@pytest.mark.django_db
@pytest.mark.parametrize("content", [b"", b"<html>", picture("GIF")])
def test_a_file_that_is_no_photo_is_named_and_not_stored(surveyor, survey, content):
    assert pointers(send(surveyor, survey, content)) == ["/image"]
    assert not Photo.objects.exists()


@pytest.mark.django_db
def test_an_oversize_upload_is_named(surveyor, survey, settings):
    settings.PHOTO_LARGEST_SIZE = 100_000
    assert pointers(send(surveyor, survey, b"x" * 100_001)) == ["/image"]
    assert pointers(send(surveyor, survey, b"x" * 500_000)) == ["/image"]


@pytest.mark.django_db
def test_a_photo_without_a_file_or_with_a_stray_field_is_refused(surveyor, survey):
    path = f"/api/v1/surveys/{survey.pk}/photos/"
    nothing = signed_in(surveyor).post(path, {"caption": "x"}, format="multipart")
    assert pointers(nothing) == ["/image"]
    assert pointers(send(surveyor, survey, place="51 N")) == ["/place"]


@pytest.mark.django_db
def test_photos_of_other_peoples_jobs_do_not_exist(surveyor, survey):
    photo = send(surveyor, survey).json()["id"]
    stranger = signed_in(factories.person("surveyor"))
    for file in ("image", "thumbnail"):
        assert stranger.get(f"/api/v1/photos/{photo}/{file}/").status_code == 404
    assert stranger.get("/api/v1/photos/").json()["results"] == []
    assert send(factories.person("fitter"), survey).status_code == 404
    assert Photo.objects.count() == 1


@pytest.mark.django_db
def test_the_files_go_when_their_row_cannot_be_stored(office, survey, settings):
    sent = {
        "actor": office,
        "idempotency_key": IdempotencyKey(),
        "survey": survey,
        "content": picture(),
    }
    add_photo(**sent)
    kept = files_in(settings.MEDIA_ROOT)
    with pytest.raises(IntegrityError), transaction.atomic():
        add_photo(**sent)
    assert files_in(settings.MEDIA_ROOT) == kept
    assert len(kept) == 2


@pytest.mark.django_db
def test_the_picture_goes_when_its_thumbnail_cannot_be_saved(office, survey, settings, monkeypatch):
    save = FileSystemStorage.save

    def save_no_thumbnail(storage, name, *args, **options):
        if "small" in name:
            raise OSError("the disk is full")
        return save(storage, name, *args, **options)

    monkeypatch.setattr(FileSystemStorage, "save", save_no_thumbnail)
    with pytest.raises(OSError, match="full"):
        add_photo(actor=office, idempotency_key=IdempotencyKey(), survey=survey, content=picture())
    assert files_in(settings.MEDIA_ROOT) == []
    assert not Photo.objects.exists()


def files_in(folder):
    return sorted(folder.rglob("*.jpg"))
