"""What is more than minor is closed by a second person of a crew, or by the office on evidence."""

import re
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from installs.models import Defect
from jobs.models import JournalEntry
from tests import factories
from tests.api import pointers, signed_in
from tests.pictures import picture, picture_that_shows_something

pytestmark = pytest.mark.django_db

PATH = "/api/v1/defects/"


@pytest.fixture
def client(fitter):
    return signed_in(fitter)


def photograph(client, installation, defect_id, colour="teal") -> str:
    content = picture_that_shows_something(colour) if colour else picture()
    image = SimpleUploadedFile("p.jpg", content, "image/jpeg")
    answer = client.post(
        f"/api/v1/installations/{installation.pk}/photos/",
        {"image": image, "defect": str(defect_id)},
        format="multipart",
    )
    assert answer.status_code == 201, answer.content
    return answer.json()["id"]


@pytest.fixture
def loose(client, installation):
    """A major defect that one man found and put right, with a photo before and one after."""
    body = {
        "id": str(uuid4()),
        "installation": str(installation.pk),
        "severity": "major",
        "description": "A hinge is loose",
    }
    client.post(PATH, body)
    before = photograph(client, installation, body["id"])
    put_right(client, body["id"])
    after = photograph(client, installation, body["id"], "crimson")
    return {"id": body["id"], "photo_before": before, "photo_after": after}


def put_right(client, defect_id, version=1):
    path = f"{PATH}{defect_id}/put-right/"
    return client.post(path, {"how": "screwed down"}, headers={"If-Match": f'"{version}"'})


def close(office, defect_id, **evidence):
    version = Defect.objects.get(pk=defect_id).version
    path = f"{PATH}{defect_id}/close-on-evidence/"
    body = {"note": "Three screws are in it, and it is flush."} | evidence
    return signed_in(office).post(path, body, headers={"If-Match": f'"{version}"'})


def evidence_of(loose) -> dict:
    return {name: loose[name] for name in ("photo_before", "photo_after")}


def test_the_office_closes_what_one_man_put_right_by_his_photos(office, loose):
    answer = close(office, loose["id"], **evidence_of(loose))
    assert answer.status_code == 200, answer.content
    defect = answer.json()
    assert defect["closed_at"]
    assert defect["reinspected_by"] == str(office.pk)
    assert (defect["photo_before"], defect["photo_after"]) == (
        loose["photo_before"],
        loose["photo_after"],
    )
    assert JournalEntry.objects.filter(type="defect.closed_on_evidence").count() == 1


@pytest.mark.parametrize(
    ("given", "pointer"),
    [
        ({"photo_before": None}, "/photo_before"),
        ({"photo_after": None}, "/photo_after"),
        ({"note": ""}, "/note"),
    ],
)
def test_evidence_is_whole(office, loose, given, pointer):
    whole = {"note": "Flush."} | evidence_of(loose) | given
    answer = close(office, loose["id"], **{k: v for k, v in whole.items() if v is not None})
    assert pointers(answer) == [pointer]
    assert Defect.objects.get().closed_at is None


def test_evidence_is_of_this_defect_in_two_pictures_the_right_way_round(
    client, office, installation, loose
):
    other = photograph(client, installation, loose["id"], "teal")
    turned = {"photo_before": loose["photo_after"], "photo_after": loose["photo_before"]}
    assert pointers(close(office, loose["id"], **turned)) == ["/photo_after"]
    same = {"photo_before": loose["photo_before"], "photo_after": other}
    assert pointers(close(office, loose["id"], **same)) == ["/photo_after"]
    step = installation.steps.first()
    of_step = str(factories.site_photo(Defect.objects.get().found_by, step).pk)
    covered = photograph(client, installation, loose["id"], "")
    for nothing in (of_step, covered):
        wrong = evidence_of(loose) | {"photo_after": nothing}
        assert pointers(close(office, loose["id"], **wrong)) == ["/photo_after"]


def test_nobody_closes_own_work_on_evidence(office, installation, loose):
    """Not even from a desk: whoever put it right is somebody else."""
    Defect.objects.update(put_right_by=office)
    answer = close(office, loose["id"], **evidence_of(loose))
    assert answer.status_code == 409
    assert "somebody else" in answer.json()["detail"]


def test_what_was_not_put_right_is_not_closed(office, client, installation):
    body = {"installation": str(installation.pk), "severity": "major", "description": "Loose"}
    made = client.post(PATH, body | {"id": str(uuid4())}).json()
    photo = photograph(client, installation, made["id"])
    answer = close(office, made["id"], photo_before=photo, photo_after=photo)
    assert answer.status_code == 409


def test_a_fitter_closes_nothing_on_evidence(client, loose):
    path = f"{PATH}{loose['id']}/close-on-evidence/"
    body = evidence_of(loose) | {"note": "Flush."}
    assert client.post(path, body, headers={"If-Match": '"2"'}).status_code == 403


@pytest.fixture
def bowed(client, fitter, installation, step):
    """A step failed, and its defect is put right; it has not been read again."""
    factories.fitted(fitter, installation, until="diagonals")
    factories.inspection(fitter, step("diagonals"), rising=2040, falling=2000)
    defect = Defect.objects.get()
    put_right(client, defect.pk)
    return defect, photograph(client, installation, defect.pk)


def test_what_a_step_decides_is_read_again_before_it_is_closed(office, fitter, step, bowed):
    defect, after = bowed
    answer = close(office, defect.pk, photo_after=after)
    assert answer.status_code == 409
    assert "its newest record has not passed" in answer.json()["detail"]
    passed = factories.inspection(fitter, step("diagonals"))
    closed = close(office, defect.pk, photo_after=after).json()
    assert closed["read_since"] == str(passed.pk)
    assert closed["photo_before"] is None


def test_a_critical_defect_has_the_same_way(client, office, installation):
    body = {"id": str(uuid4()), "installation": str(installation.pk), "severity": "critical"}
    client.post(PATH, body | {"description": "Only foam holds the head"})
    before = photograph(client, installation, body["id"])
    put_right(client, body["id"])
    after = photograph(client, installation, body["id"], "crimson")
    assert close(office, body["id"], photo_before=before, photo_after=after).status_code == 200


def test_the_office_finds_the_photos_on_a_page(office, installation, loose):
    client = Client()
    client.force_login(office)
    address = f"/jobs/{installation.job.reference}/defects/{loose['id']}/close/"
    assert (
        address
        in client.get(f"/fittings/{installation.pk}/defects/{loose['id']}/").content.decode()
    )
    page = client.get(address).content.decode()
    assert "Photo 1" in page
    assert "Photo 2" in page
    version = re.search(r'name="version" value="(\d+)"', page)
    typed = {"id": str(uuid4()), "version": version[1], "note": "Flush."} | evidence_of(loose)
    wrong = client.post(address, typed | {"photo_after": loose["photo_before"]})
    assert wrong.status_code == 400
    assert "it is the same picture as before" in wrong.content.decode()
    client.post(address, typed)
    assert Defect.objects.get().was_closed_on_evidence


def test_the_page_of_a_defect_says_who_closes_it(client, fitter, installation, loose):
    client.force_login(fitter)
    page = client.get(f"/fittings/{installation.pk}/defects/{loose['id']}/").content.decode()
    assert "somebody of a crew who did not put it right" in page
    assert "Close it on evidence" not in page
