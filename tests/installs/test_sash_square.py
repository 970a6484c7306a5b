"""A sash whose diagonals differ by more than allowed blocks what depends on it, in one wording.

Allowed are 2 mm: as much as of the frame that it closes into, common practice, no source; 3 mm is
published for elements of facades that stand alone (VMRG, Kwaliteitseisen en Adviezen, 4.12).
"""

from uuid import uuid4

import pytest

from tests import factories
from tests.api import pointers, signed_in

pytestmark = pytest.mark.django_db

OUT_OF_SQUARE = {"rising_diagonal": 1984, "falling_diagonal": 1996}
SAID = "sash 2 is out of square: its diagonals are 1984 and 1996 mm, 12 mm apart; allowed are 2 mm"


@pytest.fixture
def client(fitter):
    return signed_in(fitter)


@pytest.fixture
def glazing(fitter, installation):
    """Up to the step that confirms blocks and brace."""
    return factories.fitted(fitter, installation, until="toe_and_heel")


def record(client, step, **evidence):
    return client.post(
        "/api/v1/inspections/", {"id": str(uuid4()), "step": str(step.pk)} | evidence
    )


def sash_blockers(office, job) -> list[dict]:
    answer = signed_in(office).get(f"/api/v1/jobs/{job.reference}/gates/").json()
    handover = next(gate for gate in answer["gates"] if gate["gate"] == "handover")
    return [blocker for blocker in handover["blockers"] if blocker["code"] == "sash"]


def test_no_blocks_are_in_order_in_a_sash_that_is_out_of_square(client, fitter, glazing, step):
    factories.sash(fitter, glazing, 2, **OUT_OF_SQUARE)
    answer = record(client, step("toe_and_heel"), acknowledged=True)
    assert pointers(answer) == ["/acknowledged"]
    assert SAID in answer.json()["errors"][0]["detail"]


def test_no_glass_is_in_order_in_it(client, fitter, installation, step):
    factories.fitted(fitter, installation, until="glass_in")
    factories.sash(fitter, installation, 2, **OUT_OF_SQUARE)
    glass = step("glass_in")
    everything = dict.fromkeys(glass.checks, True)
    answer = record(client, glass, checks=everything)
    assert pointers(answer) == ["/checks/sash_2"]
    told = record(client, glass, checks=everything | {"sash_2": False}, note="Out of square")
    assert told.json()["outcome"] == "fail"


def test_no_beads_are_back_in_order_on_it(client, fitter, installation, step):
    factories.fitted(fitter, installation, until="beads_back")
    sash = installation.sashes.get(leaf=2)
    client.patch(
        f"/api/v1/sash-records/{sash.pk}/", OUT_OF_SQUARE, headers={"If-Match": f'"{sash.version}"'}
    )
    factories.done_beside(fitter, step("beads_back"))
    answer = record(client, step("beads_back"), acknowledged=True)
    assert pointers(answer) == ["/acknowledged"]


def test_the_handover_waits_for_it_and_says_the_same(office, job, fitter, glazing):
    for leaf in range(1, 6):
        factories.sash(fitter, glazing, leaf, **(OUT_OF_SQUARE if leaf == 2 else {}))
    (blocker,) = sash_blockers(office, job)
    assert SAID in blocker["why"]
    assert blocker["what"] == "square sash 2 by its brace and read its diagonals again"


def test_sashes_within_the_limit_are_square(client, office, fitter, glazing, step):
    for leaf in range(1, 6):
        factories.sash(fitter, glazing, leaf, rising_diagonal=1984, falling_diagonal=1986)
    assert not sash_blockers(office, glazing.job)
    assert record(client, step("toe_and_heel"), acknowledged=True).json()["outcome"] == "pass"


@pytest.mark.parametrize(("told", "heading"), [(0, "Square"), (3, "Out of square")])
def test_record_and_page_tell_apart_what_is_within_the_limit(
    client, fitter, glazing, told, heading
):
    apart = told or 1
    diagonals = {"rising_diagonal": 1984, "falling_diagonal": 1984 + apart}
    sash = factories.sash(fitter, glazing, 2, **diagonals)
    answer = client.get(f"/api/v1/sash-records/{sash.pk}/").json()
    assert answer["out_of_square"] == told
    assert answer["is_complete"] is (told == 0)
    client.force_login(fitter)
    page = client.get(f"/fittings/{glazing.pk}/sashes/2/").content.decode()
    assert f"<h3>{heading}</h3>" in page


def test_the_map_says_which_sash_is_out_of_square(client, fitter, glazing):
    factories.sash(fitter, glazing, 2, **OUT_OF_SQUARE)
    client.force_login(fitter)
    page = client.get(f"/fittings/{glazing.pk}/").content.decode()
    assert "Sash 2: out of square, diagonals 12 mm apart" in page
