"""Defects and concessions."""

from uuid import uuid4

import pytest

from installs.gates import fitting_gates, gate_of
from installs.models import Concession, Defect
from installs.services.defects import record_defect
from installs.services.inspecting import inspect_step
from jobs.idempotency import IdempotencyKey
from tests import factories
from tests.api import pointers, signed_in

pytestmark = pytest.mark.django_db

PATH = "/api/v1/defects/"
CONCESSIONS = "/api/v1/concessions/"


@pytest.fixture
def client(fitter):
    return signed_in(fitter)


@pytest.fixture
def body(installation):
    return {
        "id": str(uuid4()),
        "installation": str(installation.pk),
        "severity": "minor",
        "description": "Scratch on a bead of leaf 3",
    }


def put_right(client, body, version=1):
    path = f"{PATH}{body['id']}/put-right/"
    return client.post(path, {"how": "bead replaced"}, headers={"If-Match": f'"{version}"'})


def reinspect(client, body, version=2, **fields):
    path = f"{PATH}{body['id']}/reinspect/"
    return client.post(path, {"accepted": True} | fields, headers={"If-Match": f'"{version}"'})


def stands_in_the_way(installation) -> set[str]:
    return {blocker.code for blocker in gate_of(installation, "handover")}


def test_a_defect_is_found_put_right_and_closed_by_looking_again(client, body, installation):
    assert [client.post(PATH, body).status_code for _ in range(2)] == [201, 200]
    assert "minor_defect" in stands_in_the_way(installation)
    assert put_right(client, body).json()["closed_at"] is None
    assert "minor_defect" in stands_in_the_way(installation)
    assert reinspect(client, body).json()["closed_at"]
    assert "minor_defect" not in stands_in_the_way(installation)


def test_a_defect_is_not_looked_at_again_before_it_was_put_right(client, body):
    client.post(PATH, body)
    assert reinspect(client, body, version=1).status_code == 409


def test_a_defect_that_is_still_wrong_goes_back_with_a_note(client, body):
    client.post(PATH, body)
    put_right(client, body)
    assert pointers(reinspect(client, body, accepted=False)) == ["/note"]
    defect = reinspect(client, body, accepted=False, note="still scratched").json()
    assert (defect["put_right_at"], defect["closed_at"]) == (None, None)
    assert put_right(client, body, version=3).status_code == 200


@pytest.mark.parametrize("severity", ["major", "critical"])
def test_what_is_more_than_minor_is_looked_at_by_somebody_else(client, office, job, body, severity):
    mate = factories.person("fitter")
    factories.visit(office, job, "return", mate)
    client.post(PATH, body | {"severity": severity})
    put_right(client, body)
    answer = reinspect(client, body)
    assert answer.status_code == 409
    assert f"a {severity} defect is closed by somebody else" in answer.json()["detail"]
    assert Defect.objects.get().closed_at is None
    assert reinspect(signed_in(mate), body).json()["closed_at"]


def test_the_office_looks_at_nothing_on_site(client, office, body):
    client.post(PATH, body | {"severity": "major"})
    put_right(client, body)
    answer = reinspect(signed_in(office), body)
    assert answer.status_code == 409
    assert "the office closes it on evidence" in answer.json()["detail"]
    back = reinspect(signed_in(office), body, accepted=False, note="The photo shows a gap")
    assert back.json()["put_right_at"] is None


def test_changes_to_a_defect_name_the_version_they_are_based_on(client, body):
    client.post(PATH, body)
    path = f"{PATH}{body['id']}/put-right/"
    assert client.post(path, {"how": "x"}).status_code == 428
    assert client.post(path, {"how": "x"}, headers={"If-Match": '"7"'}).status_code == 412
    assert Defect.objects.get().put_right_at is None


def test_a_defect_may_name_a_step_of_its_own_installation_only(client, office, fitter, body):
    other = factories.installation(office, fitter, factories.job(office))
    step = str(other.steps.first().pk)
    assert pointers(client.post(PATH, body | {"step": step})) == ["/step"]
    assert not Defect.objects.exists()


def test_an_unknown_severity_names_those_there_are(client, body):
    assert pointers(client.post(PATH, body | {"severity": "cosmetic"})) == ["/severity"]


# -- concessions ------------------------------------------------------------------------------


@pytest.fixture
def out_of_square(fitter, installation, step):
    """Diagonals that differ by 4 mm where 2 are allowed; all else is done up to the fixing."""
    factories.fitted(fitter, installation, until="diagonals")
    factories.inspection(fitter, step("diagonals"), rising=2004, falling=2000)
    factories.done(fitter, step("beads_off"))
    factories.inspection(fitter, step("support_sashes"))
    return installation


@pytest.fixture
def accepted(out_of_square):
    return {
        "id": str(uuid4()),
        "installation": str(out_of_square.pk),
        "code": "diagonals",
        "reason": "The leaves run freely and the gaps can be set.",
    }


def test_the_office_accepts_a_deviation_and_the_gate_opens(office, job, accepted, out_of_square):
    assert [blocker.code for blocker in fitting_gates(job)["fixing"]] == ["diagonals"]
    client = signed_in(office)
    assert [client.post(CONCESSIONS, accepted).status_code for _ in range(2)] == [201, 200]
    assert client.post(CONCESSIONS, accepted | {"reason": "other"}).status_code == 409
    assert fitting_gates(job)["fixing"] == []


@pytest.fixture
def out_of_plumb(fitter, installation, step):
    """Both jambs stand 9 mm out of plumb."""
    factories.fitted(fitter, installation, until="plumb")
    plumb = step("plumb")
    factories.inspection(fitter, plumb, **dict.fromkeys(plumb.criteria, 9.0))
    return plumb


def concede_at(office, step, place=None):
    body = {
        "installation": str(step.installation_id),
        "code": step.code,
        "reason": "The leaves run freely.",
    }
    return signed_in(office).post(CONCESSIONS, body if place is None else body | {"place": place})


def places_in_the_way(installation, code) -> set[str]:
    return {b.place for b in gate_of(installation, "handover") if b.code == code}


def test_a_concession_names_the_one_place_that_it_accepts(office, installation, out_of_plumb):
    first, *others = sorted(places_in_the_way(installation, "plumb"))
    assert others
    answer = concede_at(office, out_of_plumb)
    assert pointers(answer) == ["/place"]
    assert first in answer.json()["detail"]
    assert pointers(concede_at(office, out_of_plumb, "elsewhere")) == ["/place"]
    assert concede_at(office, out_of_plumb, first).json()["place"] == first
    assert places_in_the_way(installation, "plumb") == set(others)
    assert "defect" in stands_in_the_way(installation)


def test_with_the_last_place_goes_the_defect_that_the_failure_opened_and_no_other(
    office, client, body, installation, out_of_plumb
):
    """A pane that was reported shattered at the same step stays in the way of the handover."""
    shattered = body | {
        "severity": "major",
        "step": str(out_of_plumb.pk),
        "description": "A pane is shattered",
    }
    client.post(PATH, shattered)
    for place in sorted(places_in_the_way(installation, "plumb")):
        assert concede_at(office, out_of_plumb, place).status_code == 201
    assert "plumb" not in stands_in_the_way(installation)
    left = [b for b in gate_of(installation, "handover") if b.code == "defect"]
    assert [blocker.record["id"] for blocker in left] == [shattered["id"]]


def test_a_failure_after_the_concession_opens_a_defect_of_its_own(
    office, fitter, installation, out_of_plumb
):
    for place in sorted(places_in_the_way(installation, "plumb")):
        concede_at(office, out_of_plumb, place)
    factories.inspection(fitter, out_of_plumb, **dict.fromkeys(out_of_plumb.criteria, 12.0))
    assert "defect" in stands_in_the_way(installation)
    assert Defect.objects.filter(concession=None).count() == 1


def test_a_gap_that_is_accepted_at_one_junction_is_not_accepted_at_another(
    office, fitter, installation
):
    factories.fitted(fitter, installation, until="gaps_again")
    for junction in (1, 2):
        factories.gap(fitter, installation, junction, head_gap=9, sill_gap=4)
    uneven = {
        "installation": str(installation.pk),
        "code": "junction_gap",
        "reason": "It closes and does not rub.",
    }
    assert pointers(signed_in(office).post(CONCESSIONS, uneven)) == ["/place"]
    assert signed_in(office).post(CONCESSIONS, uneven | {"place": "1"}).status_code == 201
    assert places_in_the_way(installation, "junction_gap") == {"2"}


def test_a_photo_that_is_not_asked_for_at_one_step_is_asked_for_at_the_others(
    office, fitter, installation
):
    factories.fitted(fitter, installation, until="running_gear")
    installation.photos.all().delete()
    first, *others = sorted(places_in_the_way(installation, "photo"))
    body = {
        "installation": str(installation.pk),
        "code": "photo",
        "place": first,
        "reason": "The camera broke; the mate saw it.",
    }
    assert signed_in(office).post(CONCESSIONS, body).status_code == 201
    assert places_in_the_way(installation, "photo") == set(others)


def test_a_failure_at_a_critical_step_asks_for_a_second_person_whatever_was_found_there_before(
    client, fitter, body, installation, step
):
    factories.fitted(fitter, installation, until="support_sashes")
    critical = step("support_sashes")
    client.post(PATH, body | {"step": str(critical.pk)})
    told = factories.evidence(fitter, critical)
    given = told | {"acknowledged": False, "note": "An open sash hangs free"}
    inspect_step(actor=fitter, idempotency_key=IdempotencyKey(), step=critical, **given)
    (opened,) = Defect.objects.filter(severity="critical")
    assert opened.step == critical
    assert "defect" in stands_in_the_way(installation)
    put_right(client, {"id": opened.pk})
    answer = reinspect(client, {"id": opened.pk})
    assert answer.status_code == 409
    assert "somebody else" in answer.json()["detail"]


def test_a_critical_defect_stands_though_a_concession_names_it(office, installation):
    """Whatever was stored: what can hurt somebody is never accepted as it is."""
    critical = record_defect(
        actor=office,
        idempotency_key=IdempotencyKey(),
        installation=installation,
        severity="critical",
        description="An open sash is unsupported",
    )
    Concession.objects.create(
        id=uuid4(),
        installation=installation,
        code="minor_defect",
        defect=critical,
        reason="It was stored past the service.",
        accepted_by=office,
    )
    assert "defect" in stands_in_the_way(installation)


def test_a_concession_of_a_step_goes_for_its_defect_too(office, accepted, out_of_square):
    assert "defect" in stands_in_the_way(out_of_square)
    concession = signed_in(office).post(CONCESSIONS, accepted).json()
    assert concession["defect"] == str(Defect.objects.get().pk)
    assert "defect" not in stands_in_the_way(out_of_square)


def test_a_concession_never_accepts_what_is_found_later(office, fitter, job, step, accepted):
    signed_in(office).post(CONCESSIONS, accepted)
    factories.inspection(fitter, step("diagonals"), rising=2009, falling=2000)
    assert [blocker.code for blocker in fitting_gates(job)["fixing"]] == ["diagonals"]


def test_what_the_rule_set_does_not_name_cannot_be_conceded(office, accepted):
    answer = signed_in(office).post(CONCESSIONS, accepted | {"code": "mechanical_fixing"})
    assert pointers(answer) == ["/code"]
    assert "diagonals" in answer.json()["detail"]


@pytest.mark.parametrize("code", ["bow", "fixing_position", "junction_gap"])
def test_what_was_never_looked_at_cannot_be_conceded(office, accepted, code):
    answer = signed_in(office).post(CONCESSIONS, accepted | {"code": code})
    assert answer.status_code == 409
    assert not Concession.objects.exists()


def test_what_does_not_stand_in_the_way_cannot_be_conceded(office, accepted):
    assert signed_in(office).post(CONCESSIONS, accepted | {"code": "plumb"}).status_code == 409


def test_a_concession_gives_its_reason(office, accepted):
    assert pointers(signed_in(office).post(CONCESSIONS, accepted | {"reason": ""})) == ["/reason"]


def test_a_fitter_grants_no_concession(client, accepted):
    assert client.post(CONCESSIONS, accepted).status_code == 403
    assert not Concession.objects.exists()


def test_a_minor_defect_is_accepted_by_name(office, client, body, installation):
    client.post(PATH, body)
    concession = {
        "installation": str(installation.pk),
        "code": "minor_defect",
        "reason": "The customer takes it as it is.",
    }
    answer = signed_in(office).post(CONCESSIONS, concession)
    assert pointers(answer) == ["/defect"]
    answer = signed_in(office).post(CONCESSIONS, concession | {"defect": body["id"]})
    assert answer.status_code == 201, answer.content
    assert "minor_defect" not in stands_in_the_way(installation)


@pytest.mark.parametrize("severity", ["major", "critical"])
def test_a_graver_defect_is_never_accepted_as_it_is(severity, office, client, body, installation):
    client.post(PATH, body | {"severity": severity})
    concession = {
        "installation": str(installation.pk),
        "code": "minor_defect",
        "defect": body["id"],
        "reason": "Nobody will notice.",
    }
    assert signed_in(office).post(CONCESSIONS, concession).status_code == 409
    assert "defect" in stands_in_the_way(installation)


@pytest.mark.parametrize(
    ("place", "label"),
    [
        ("sash 2", "sash 2"),
        ("junction 0", "junction 0"),
        ("head", "head"),
        ("left 850", "left jamb at 850 mm"),
    ],
)
def test_a_defect_keeps_its_place_on_the_doorset(client, body, place, label):
    assert client.post(PATH, body | {"place": place}).json()["place"] == place
    defect = Defect.objects.get(pk=body["id"])
    assert defect.place_label == label


@pytest.mark.parametrize(
    ("place", "reason"),
    [
        ("sash 9", "the doorset has no sash 9; give 1 to 5"),
        ("junction 7", "the doorset has no junction 7; give 0 to 5"),
        ("left 9000", "the left jamb ends at"),
        ("sash", "no place of a doorset; give sash 2, junction 3, head"),
        ("roof", "no place of a doorset"),
    ],
)
def test_a_place_that_the_doorset_does_not_have_is_refused(client, body, place, reason):
    answer = client.post(PATH, body | {"place": place})
    assert pointers(answer) == ["/place"]
    assert reason in answer.json()["errors"][0]["detail"]
    assert not Defect.objects.exists()


def test_a_defect_without_a_place_has_none(client, body):
    assert client.post(PATH, body).json()["place"] is None
    assert Defect.objects.get().place_label == ""


def test_foam_alone_is_a_defect_in_its_place(fitter, installation):
    factories.fitted(fitter, installation, until="clear_height")
    factories.fixing(fitter, installation, member="head", position=1000, kind="foam_only")
    assert Defect.objects.get(severity="critical").place == "head 1000"
