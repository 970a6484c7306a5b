"""The clock of the service is set back, or two web servers disagree about the time."""

import pytest
from django.core.management import call_command

from installs.gates import fitting_gates
from jobs.models import JournalEntry
from tests import factories

pytestmark = pytest.mark.django_db
SQUARE, OUT_OF_SQUARE = {"rising": 2000, "falling": 2000}, {"rising": 2009, "falling": 2000}


@pytest.fixture(autouse=True)
def begun(time_machine):
    time_machine.move_to("2026-03-02T09:00:00Z")


@pytest.fixture
def diagonals(fitter, installation, step):
    """The step before which all is in order."""
    factories.fitted(fitter, installation, until="diagonals")
    return step("diagonals")


def in_the_way(job) -> set[str]:
    return {blocker.code for blocker in fitting_gates(job)["fixing"]}


def test_the_check_that_was_made_last_counts_whatever_the_clock_says(
    fitter, job, diagonals, time_machine
):
    factories.inspection(fitter, diagonals, **SQUARE)
    assert "diagonals" not in in_the_way(job)
    time_machine.shift(-3600)
    factories.inspection(fitter, diagonals, **OUT_OF_SQUARE)
    assert "diagonals" in in_the_way(job)
    time_machine.shift(-3600)
    factories.inspection(fitter, diagonals, **SQUARE)
    assert "diagonals" not in in_the_way(job)


def test_a_chain_of_the_journal_never_goes_back_in_time(
    fitter, job, diagonals, time_machine, capsys
):
    for _ in range(3):
        time_machine.shift(-3600)
        factories.inspection(fitter, diagonals, **SQUARE)
    chain = JournalEntry.objects.filter(stream=job.journal_stream).order_by("number")
    times = [entry.created_at for entry in chain]
    assert times == sorted(set(times))
    call_command("verify_journal")
    assert "The journal holds" in capsys.readouterr().out
