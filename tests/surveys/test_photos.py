from io import BytesIO
from uuid import uuid4

import pillow_heif
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import IntegrityError, transaction
from PIL import Image, ImageFile

from jobs.identity import Identity
from surveys.models import Photo
from surveys.photos import PhotoLimits, UnusablePhoto, clean_photo
from surveys.services.photos import add_photo
from tests import factories
from tests.api import pointers, signed_in

LIMITS = PhotoLimits(size=200_000, pixels=1_000_000)
ORIENTATION, GPS, DESCRIPTION = 0x0112, 0x8825, 0x010E


def picture(kind="JPEG", size=(40, 20), mode="RGB", **options) -> bytes:
    written = BytesIO()
    Image.new(mode, size, "teal").save(written, kind, **options)
    return written.getvalue()


def picture_from_a_phone(orientation=1) -> bytes:
    """With the place of the house, a description and the way the phone was held."""
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    exif[DESCRIPTION] = "9 Secret Lane"
    exif.get_ifd(GPS)[2] = (51.0, 30.0, 0.0)
    return picture(exif=exif, comment=b"9 Secret Lane")


def heic() -> bytes:
    written = BytesIO()
    pillow_heif.from_pillow(Image.new("RGB", (64, 48), "teal")).save(written)
    return written.getvalue()


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
    kept = Image.open(BytesIO(clean.content))
    assert len(kept.getexif()) == 0
    assert b"Secret" not in clean.content
    assert b"Exif" not in clean.content


def test_a_picture_is_turned_the_way_it_was_taken():
    """Orientation 6 is a quarter turn (EXIF 2.3, from memory)."""
    clean = clean_photo(picture_from_a_phone(orientation=6), LIMITS)
    assert (clean.width, clean.height) == (20, 40)


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


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        b"GIF89a" + b"\0" * 50,
        b"%PDF-1.7",
        picture("BMP"),
        picture("GIF"),
        b"\xff\xd8\xff\xe0" + b"\0" * 40,
    ],
    ids=["nothing", "svg", "broken gif", "pdf", "bmp", "gif", "jpeg by its first bytes only"],
)
def test_anything_else_is_refused(content):
    with pytest.raises(UnusablePhoto, match="JPEG, PNG or HEIC"):
        clean_photo(content, LIMITS)


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
    named = SimpleUploadedFile("<script>.jpg", picture() if content is None else content)
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
    assert Image.open(BytesIO(content)).size == (40, 20)


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
    assert "script" not in str(Photo.objects.get().image)


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
    assert stranger.get(f"/api/v1/photos/{photo}/image/").status_code == 404
    assert stranger.get("/api/v1/photos/").json()["results"] == []
    assert send(factories.person("fitter"), survey).status_code == 404


@pytest.mark.django_db
def test_a_file_goes_when_its_row_cannot_be_stored(office, survey, settings):
    identity = Identity()
    sent = {"actor": office, "identity": identity, "survey": survey, "content": picture()}
    add_photo(**sent)
    with pytest.raises(IntegrityError), transaction.atomic():
        add_photo(**sent)
    assert len(list(settings.MEDIA_ROOT.rglob("*.jpg"))) == 1
