"""The study of simulated surveys, and the command that runs it."""

import re

import pytest
from django.core.management import CommandError, call_command

from surveys.arithmetic.simulation import study
from tests.surveys.openings import PRIORS


def test_simulated_surveys_mislead_as_seldom_as_they_must():
    """The bars of the study on a smaller sample; `manage.py study_opening_fit` runs the whole."""
    result = study(250, seed=7, priors=PRIORS)
    assert result.false_fits <= 0.03
    assert result.false_fits_by_height <= 0.03
    # Uncertainties are stated rightly: true errors are about as large as they say.
    assert 0.8 <= result.width_error_over_uncertainty <= 1.2
    assert 0.8 <= result.height_error_over_uncertainty <= 1.2
    assert result.inconclusive_with_room <= 0.10
    assert result.false_contradictions <= 0.02
    assert result.blunders_reported >= 0.95
    assert result.culprits_named >= 0.90
    assert result.suspects_on_average <= 4
    # The reason for all of this: envelopes order frames too wide.
    assert result.thumb_overshoots > 0.7


def test_the_command_prints_a_table_with_its_seed_and_what_it_drew(capsys):
    call_command("study_opening_fit", surveys=12, seed=4)
    table = capsys.readouterr().out
    assert "12 surveys, seed 4" in table
    assert "leans, falls and bows drawn with 6, 5 and 2.5 mm standard deviation" in table
    result = study(12, seed=4, priors=PRIORS)
    assert f"{result.thumb_overshoots:.1%}  rule of thumb breaks its clearance" in table
    assert f"{result.suspects_on_average:.2f}  suspects on average, at most 4" in table


def test_the_command_shows_how_much_is_done(capsys):
    call_command("study_opening_fit", surveys=4, seed=1)
    shown = re.findall(r"\[(=*) *\] (\d+) of 4 surveys", capsys.readouterr().err)
    assert [int(done) for _, done in shown] == [1, 2, 3, 4]
    assert [len(bar) for bar, _ in shown] == [10, 20, 30, 40]


def test_the_same_seed_gives_the_same_study():
    assert study(12, seed=4, priors=PRIORS) == study(12, seed=4, priors=PRIORS)
    assert study(12, seed=4, priors=PRIORS) != study(12, seed=5, priors=PRIORS)


@pytest.mark.parametrize("surveys", [0, -5])
def test_a_study_of_no_surveys_is_refused(surveys):
    with pytest.raises(CommandError, match="--surveys: give 1 or more"):
        call_command("study_opening_fit", surveys=surveys)
