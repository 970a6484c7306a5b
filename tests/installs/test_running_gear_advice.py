"""What the fitter is told to turn, from the gaps that were read."""

import pytest

from tests import factories
from tests.api import signed_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def glazed(fitter, installation):
    """An installation that has come to its running gear."""
    return factories.fitted(fitter, installation, until="running_gear")


def advice(person, installation):
    answer = signed_in(person).get(f"/api/v1/installations/{installation.pk}/running-gear/")
    assert answer.status_code == 200, answer.content
    return answer.json()


def test_as_long_as_gaps_are_missing_it_says_which(fitter, glazed):
    factories.gap(fitter, glazed, 0)
    (chain,) = advice(fitter, glazed)
    assert chain == {"jamb": "left", "still_to_read": [1, 2, 3, 4, 5], "advice": None}


def test_gaps_of_a_low_carrier_give_its_lift_in_mm_and_turns(fitter, glazed):
    differences = {0: 0, 1: 1, 2: 2, 3: 1, 4: 0, 5: 0}
    for junction, difference in differences.items():
        factories.gap(
            fitter, glazed, junction, head_gap=4 + difference / 2, sill_gap=4 - difference / 2
        )
    (chain,) = advice(fitter, glazed)
    # Closed form: half of the difference, and one turn lifts by what the profile system says.
    lifts = {one["junction"]: one for one in chain["advice"]["adjustments"]}
    assert lifts[2]["lift"] == pytest.approx(1, abs=0.01)
    assert lifts[4]["lift"] == pytest.approx(0, abs=0.01)
    assert lifts[2]["turns"] == pytest.approx(1 / glazed.plan.running_gear.lift_per_turn, abs=0.01)
    assert chain["advice"]["within_tolerance"] is True


def test_of_two_rounds_the_newer_counts(fitter, glazed):
    for junction in range(6):
        factories.gap(fitter, glazed, junction, head_gap=6, sill_gap=2)
    for junction in range(6):
        factories.gap(fitter, glazed, junction)
    (chain,) = advice(fitter, glazed)
    assert [one["lift"] for one in chain["advice"]["adjustments"]] == [0, 0]


def test_a_fitter_of_another_visit_does_not_see_it(glazed):
    stranger = signed_in(factories.person("fitter"))
    answer = stranger.get(f"/api/v1/installations/{glazed.pk}/running-gear/")
    assert answer.status_code == 404
