"""What the fitter is told to turn, from the gaps that were read."""

import pytest

from tests import factories
from tests.api import signed_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def glazed(fitter, installation):
    """An installation that has come to its running gear."""
    return factories.fitted(fitter, installation, until="running_gear")


@pytest.fixture
def gauge(office):
    return factories.instrument(
        office, kind="gauge", accuracy_class="", expanded_uncertainty=0.1, coverage_factor=2
    )


def advice(person, installation):
    answer = signed_in(person).get(f"/api/v1/installations/{installation.pk}/running-gear/")
    assert answer.status_code == 200, answer.content
    return answer.json()


def test_as_long_as_gaps_are_missing_it_says_which(fitter, glazed):
    factories.gap(fitter, glazed, 0)
    (chain,) = advice(fitter, glazed)
    assert chain == {
        "jamb": "left",
        "still_to_read": [1, 2, 3, 4, 5],
        "advice": None,
        "season": None,
    }


def test_gaps_of_a_low_carrier_give_its_lift_in_mm_and_turns(fitter, glazed, gauge):
    differences = {0: 0, 1: 1, 2: 2, 3: 1, 4: 0, 5: 0}
    for junction, difference in differences.items():
        head, sill = 4 + difference / 2, 4 - difference / 2
        factories.gap(fitter, glazed, junction, head_gap=head, sill_gap=sill, instrument=gauge)
    (chain,) = advice(fitter, glazed)
    # Closed form: half of the difference, and one turn lifts by what the profile system says.
    lifts = {adjustment["junction"]: adjustment for adjustment in chain["advice"]["adjustments"]}
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
    assert [adjustment["lift"] for adjustment in chain["advice"]["adjustments"]] == [0, 0]


def test_a_low_head_is_told_by_the_doorsets_own_numbers_and_places(fitter, glazed, gauge):
    for junction in range(6):
        head = 2 if junction == 3 else 4
        factories.gap(fitter, glazed, junction, head_gap=head, instrument=gauge)
    (chain,) = advice(fitter, glazed)
    assert chain["advice"]["cause"] == "frame_fault"
    (cause,) = chain["advice"]["probable_causes"]
    assert (cause["what"], cause["where"]["junctions"]) == ("head_low", [3])
    (packers,) = cause["packers"]
    planned = glazed.plan.fixing_layout.member("head").positions
    junction_at = cause["where"]["at"]
    assert packers["places"][0] == min(planned, key=lambda place: abs(place - junction_at))
    assert packers["by"] == -2
    assert f"near {packers['places'][0]:g} mm" in chain["advice"]["act"]
    assert [one["lift"] for one in chain["advice"]["adjustments"]] == [0, 0]


def test_a_tape_cannot_show_even_gaps_and_the_advice_asks_for_a_gauge(fitter, glazed):
    for junction in range(6):
        factories.gap(fitter, glazed, junction)
    (chain,) = advice(fitter, glazed)
    assert (chain["advice"]["decision"], chain["advice"]["cause"]) == ("inconclusive", None)
    assert "with a gauge that is good to" in chain["advice"]["act"]


def test_todays_temperature_gives_the_closing_gap_to_set(fitter, glazed):
    factories.gap(fitter, glazed, 5, temperature=30)
    (chain,) = advice(fitter, glazed)
    # By hand: 3.5 m of aluminium at 23e-6 grow 0.8 mm in 10 K; half-way is 20 C with 4 mm.
    assert chain["season"]["gap_today"] == pytest.approx(3.2, abs=0.05)
    assert chain["season"]["act"].startswith("At 30 C set the closing gap to 3.2 mm")


def test_a_fitter_of_another_visit_does_not_see_it(glazed):
    stranger = signed_in(factories.person("fitter"))
    answer = stranger.get(f"/api/v1/installations/{glazed.pk}/running-gear/")
    assert answer.status_code == 404
