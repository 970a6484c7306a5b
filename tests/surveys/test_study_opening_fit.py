"""The study of simulated surveys, and the command that runs it."""

import re

import numpy as np
import pytest
from django.core.management import CommandError, call_command

from surveys.arithmetic.simulated_survey import Surveyor
from surveys.arithmetic.simulated_walls import SHAPES, draw_opening
from surveys.arithmetic.simulation import CASES, study
from tests.surveys.openings import PRIORS

# So few surveys of each shape, that one in twenty may be by chance where one in a hundred is meant.
FEW = 8


@pytest.mark.parametrize("case", CASES)
def test_simulated_surveys_mislead_as_seldom_as_they_must_whatever_the_walls_are(case):
    """The bars of the study on few surveys; `manage.py study_opening_fit` runs many."""
    result = study(case, FEW, seed=7, priors=PRIORS)
    assert result.false_fits <= 1 / FEW
    assert result.false_fits_by_height <= 1 / FEW
    assert result.breaks_by_2_mm == 0
    assert result.undecided <= 3 / FEW
    assert result.contradicted <= 1 / FEW
    assert result.contradicted_with_more <= 1 / FEW
    assert result.false_fits_with_more <= 2 / FEW
    assert result.false_fits_swapped <= 1 / FEW
    assert result.blunders_reported >= 1 - 2 / FEW
    assert result.culprits_named >= 1 - 3 / FEW
    assert result.suspects <= 4
    assert result.asked <= 6
    # Clear sizes are stated rightly or with caution.
    assert result.overstated <= 1 / FEW
    # The reason for all of this: the smallest width orders frames too wide.
    assert result.thumb_breaks >= 0.5


def test_the_command_prints_a_table_with_its_seed_and_what_it_drew(capsys):
    call_command("study_opening_fit", surveys=2, seed=4, shapes=["local_bulge"])
    table = capsys.readouterr().out
    assert "2 surveys a shape, seed 4" in table
    assert "leans, falls and bows drawn with 6, 5 and 2.5 mm standard deviation" in table
    result = study("local_bulge", 2, seed=4, priors=PRIORS)
    row = next(line for line in table.splitlines() if line.startswith("local bulge"))
    assert row.split()[2] == f"{result.false_fits:.1%}"
    assert f"{result.asked:.1f}" in row


def test_the_command_shows_how_much_is_done(capsys):
    call_command("study_opening_fit", surveys=4, seed=1, shapes=["eight_points"])
    shown = re.findall(r"\[(=*) *\] (\d+) of 4 surveys", capsys.readouterr().err)
    assert [int(done) for _, done in shown] == [1, 2, 3, 4]
    assert [len(bar) for bar, _ in shown] == [10, 20, 30, 40]


def test_the_same_seed_gives_the_same_study():
    assert study("eight_points", 2, 4, PRIORS) == study("eight_points", 2, 4, PRIORS)
    assert study("eight_points", 2, 4, PRIORS) != study("eight_points", 2, 5, PRIORS)


@pytest.mark.parametrize("checked", ["known_length", "second_tape"])
def test_a_bent_hook_makes_every_reading_too_long_and_only_a_check_shows_it(checked):
    surveyor = Surveyor.of(np.random.default_rng(3), SHAPES["s_bow"], "bent_hook", checked)
    truth, opening = surveyor.truth, surveyor.survey(PRIORS).opening
    too_long = [w.value - truth.right.at(w.at) + truth.left.at(w.at) for w in opening.widths]
    assert np.mean(too_long) == pytest.approx(1.5, abs=1)
    if checked == "known_length":
        known = opening.checks.known_lengths
        assert np.mean([k.value - k.length for k in known]) == pytest.approx(1.5, abs=0.8)
    else:
        second = [
            w.value - truth.right.at(w.at) + truth.left.at(w.at) for w in opening.checks.widths
        ]
        assert np.mean(second) == pytest.approx(0, abs=1)


@pytest.mark.parametrize("surveys", [0, -5])
def test_a_study_of_no_surveys_is_refused(surveys):
    with pytest.raises(CommandError, match="--surveys: give 1 or more"):
        call_command("study_opening_fit", surveys=surveys)


@pytest.mark.parametrize("shape", SHAPES.values(), ids=SHAPES)
def test_what_is_clear_in_a_simulated_opening_is_what_plane_geometry_says(shape):
    # reference library: shapely; the plumb strip lies within both faces, and a wider one does not
    from shapely.geometry import Polygon, box  # noqa: PLC0415 only here

    truth = draw_opening(np.random.default_rng(5), shape)
    foot = max(truth.left.outside.max(), truth.left.inside.max())
    low, high = truth.height * 0.1, truth.height * 0.9
    for face in ("outside", "inside"):
        left = list(zip(getattr(truth.left, face), truth.left.places, strict=True))
        right = list(zip(getattr(truth.right, face), truth.right.places, strict=True))
        opening = Polygon([*left, *reversed(right)]).buffer(1e-6)
        assert opening.contains(box(foot, low, foot + truth.clear_width, high))
    wider = box(foot - 0.5, 0, foot + truth.clear_width + 0.5, truth.height)
    assert not opening.contains(wider)
