"""After each reading of the frame the record says which packers to change, and follows them."""

from typing import Any

import numpy as np
import pytest
from django.test import Client
from scipy.interpolate import CubicSpline

from installs.models import Fixing, Inspection, Installation, PackerChange
from jobs.models import JournalEntry
from tests import factories
from tests.api import pointers, signed_in

pytestmark = pytest.mark.django_db

CHANGES = "/api/v1/packer-changes/"
UNCERTAIN = {"expanded_uncertainty": 0.6, "coverage_factor": 2}
QUARTERS = {"lower_quarter": 0.25, "middle": 0.5, "upper_quarter": 0.75}


@pytest.fixture
def client(fitter):
    return signed_in(fitter)


@pytest.fixture
def fixed(fitter, installation) -> Installation:
    """Up to where the jambs are looked at for bows, each fixing with packers of 5 and 3 mm."""
    factories.fitted(fitter, installation, until="bow")
    for place in places(installation):
        factories.fixing(fitter, installation, position=place, packers=[5, 3])
    return installation


def places(installation: Installation, member: str = "left") -> list[float]:
    return list(installation.plan.fixing_layout.member(member).positions)


class BowedJamb:
    """The left jamb as it stands on its packers: a natural cubic spline through their heights."""

    def __init__(self, installation: Installation, bow: float) -> None:
        self.at = np.array(places(installation), dtype=float)
        self.length = installation.plan.fixing_layout.member("left").length
        self.heights = bow * np.sin(np.pi * self.at / self.length)

    def readings(self) -> dict[str, float]:
        spline = CubicSpline(self.at, self.heights, bc_type="natural")

        def stands(place: float) -> float:
            inside = float(np.clip(place, self.at[0], self.at[-1]))
            return float(spline(inside) + spline(inside, 1) * (place - inside))

        foot, lean = stands(0), stands(self.length) - stands(0)
        return {
            f"left_jamb_{name}": stands(share * self.length) - foot - share * lean
            for name, share in QUARTERS.items()
        }


def inspected(client: Any, fitter: Any, installation: Installation, code: str, **read: float):
    """The answer of the API, read with an instrument that can show a bow of 1.5 mm."""
    step = installation.steps.get(code=code)
    given = factories.evidence(fitter, step, **read)
    gauge = factories.instrument(fitter, kind="gauge", **UNCERTAIN)
    body = {
        "step": str(step.pk),
        "instrument": str(gauge.pk),
        "readings": [{"place": one.place, "value": one.value} for one in given["readings"]],
    }
    answer = client.post("/api/v1/inspections/", body)
    assert answer.status_code == 201, answer.content
    return answer.json()


def changed(client: Any, installation: Installation, **body: Any) -> Any:
    whole = {"installation": str(installation.pk), "member": "left"} | body
    return client.post(CHANGES, whole)


def test_a_bowed_jamb_that_follows_the_advice_ends_within_its_limits(client, fitter, fixed):
    jamb = BowedJamb(fixed, bow=5.0)
    answer = inspected(client, fitter, fixed, "bow", **jamb.readings())
    assert answer["outcome"] == "fail"
    for _ in range(2):
        if answer["outcome"] == "pass":
            break
        (act,) = (act for act in answer["next_act"]["members"] if act["member"] == "left")
        assert act["act"]["kind"] == "change_packers"
        for change in act["act"]["changes"]:
            body = {"added": change["added"], "taken": change["taken"]}
            assert changed(client, fixed, position=change["at"], **body).status_code == 201
            jamb.heights[list(jamb.at).index(change["at"])] += change["change"]
        answer = inspected(client, fitter, fixed, "bow", **jamb.readings())
    assert answer["outcome"] == "pass"
    assert all(abs(bow) <= 1.5 for bow in jamb.readings().values())


def test_the_advice_says_what_it_goes_by_and_is_kept_as_it_was_given(client, fitter, fixed):
    answer = inspected(client, fitter, fixed, "bow", left_jamb_middle=5)
    advice = answer["next_act"]
    assert {act["member"] for act in advice["members"]} == {"left", "right"}
    assert advice["cautions"]
    assert any(source.startswith("bow: ") for source in advice["sources"])
    place = next(act for act in advice["members"] if act["member"] == "left")["act"]["changes"][0]
    changed(client, fixed, position=place["at"], added=place["added"], taken=place["taken"])
    again = client.get(f"/api/v1/inspections/{answer['id']}/").json()
    assert again["next_act"] == advice


def test_a_jamb_out_of_plumb_before_it_is_fixed_is_packed_at_its_ends(client, fitter, installation):
    factories.fitted(fitter, installation, until="plumb")
    answer = inspected(client, fitter, installation, "plumb", left_jamb_in_wall_plane=-6)
    left, right = answer["next_act"]["members"]
    ends = {places(installation)[0], places(installation)[-1]}
    assert {change["at"] for change in left["act"]["changes"]} <= ends
    assert left["act"]["changes"]
    assert right["act"]["kind"] == "leave"


def test_a_jamb_that_stands_true_is_left_alone_whatever_was_read_of_it_before(
    client, fitter, fixed
):
    """The diagonals were read with a tape, which leaves some doubt of them."""
    answer = inspected(client, fitter, fixed, "bow", left_jamb_middle=5)
    right = next(act for act in answer["next_act"]["members"] if act["member"] == "right")
    assert (right["act"]["kind"], right["within_limits"]) == ("leave", True)
    assert {one["kind"] for one in right["deviations"]} == {"bow"}


def test_a_step_that_packers_do_not_hold_says_nothing_of_them(client, fitter, fixed):
    assert Inspection.objects.get(step__code="remeasure").next_act is None


def test_a_change_that_is_not_recorded_is_noticed_by_what_is_read_next(client, fitter, fixed):
    inspected(client, fitter, fixed, "bow", **BowedJamb(fixed, bow=6.0).readings())
    answer = inspected(client, fitter, fixed, "bow", **BowedJamb(fixed, bow=-6.0).readings())
    left = next(act for act in answer["next_act"]["members"] if act["member"] == "left")
    assert left["readings_agree"] is False


def test_what_was_changed_is_on_record_with_the_journal(client, fitter, fixed):
    place = places(fixed)[1]
    answer = changed(client, fixed, position=place, added=[2], taken=[3])
    assert answer.status_code == 201, answer.content
    assert answer.json()["change"] == -1
    change = PackerChange.objects.get()
    assert JournalEntry.objects.get(record_id=change.pk).type == "packers.changed"


def test_the_fixings_as_made_count_the_packers_that_were_changed_since(client, fixed):
    def used() -> dict[float, float]:
        members = client.get(f"/api/v1/installations/{fixed.pk}/as-fixed/").json()
        left = next(member for member in members if member["member"] == "left")
        return {one["position"]: one["used"] for one in left["packers"]}

    place = places(fixed)[1]
    before = used()[place]
    changed(client, fixed, position=place, added=[2], taken=[5])
    assert used()[place] == before - 3


def test_a_piece_that_is_not_there_cannot_be_taken_out(client, fixed):
    place = places(fixed)[1]
    assert pointers(changed(client, fixed, position=place, taken=[2])) == ["/taken/0"]
    assert changed(client, fixed, position=place, added=[2], taken=[5]).status_code == 201
    assert pointers(changed(client, fixed, position=place, taken=[5])) == ["/taken/0"]
    assert changed(client, fixed, position=place, taken=[2]).status_code == 201


@pytest.mark.parametrize(
    ("body", "pointer"),
    [
        ({"added": [], "taken": []}, "/added"),
        ({"position": 333, "added": [2]}, "/position"),
        ({"added": [0]}, "/added/0"),
        ({"member": "post", "added": [2]}, "/member"),
    ],
)
def test_a_change_that_cannot_be_is_refused_by_its_field(client, fixed, body, pointer):
    answer = changed(client, fixed, **{"position": places(fixed)[0]} | body)
    assert answer.status_code == 400
    assert pointers(answer) == [pointer]


def test_once_the_joint_is_filled_no_packer_can_be_reached(client, fitter, installation):
    factories.fitted(fitter, installation, until="glazing")
    assert Fixing.objects.exists()
    answer = inspected(client, fitter, installation, "bow", left_jamb_middle=5)
    left = next(act for act in answer["next_act"]["members"] if act["member"] == "left")
    assert left["act"]["kind"] == "no_packer_helps"


# On the pages


def test_the_page_of_the_step_says_the_act_and_takes_that_it_was_done(client, fitter, fixed):
    inspected(client, fitter, fixed, "bow", **BowedJamb(fixed, bow=5.0).readings())

    page = Client()
    page.force_login(fitter)
    number = fixed.steps.get(code="bow").number
    address = f"/fittings/{fixed.pk}/steps/{number}/"
    text = page.get(address).content.decode()
    assert "What to do next" in text
    assert text.count('data-operation="change_packers"') >= 1
    assert "left jamb" in page.get(f"/fittings/{fixed.pk}/").content.decode()
