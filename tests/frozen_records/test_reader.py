"""How a stored record of any format becomes the newest shape, and which are refused."""

from dataclasses import dataclass

import pytest

from installs.frozen import FITTING_PLAN
from installs.next_act import NEXT_ACT
from jobs.calculations import DOORSET_CALCULATION
from jobs.frozen import FrozenKind, UnreadableRecord
from reports.papers.frozen import PAPERS
from surveys.frozen import DECIDED_FIT, FIT_INPUTS, SURVEY_ASSESSMENT
from tests.frozen_records.examples import every_format, formats_in

KINDS: dict[str, FrozenKind] = {
    "doorset_calculation": DOORSET_CALCULATION,
    "survey_assessment": SURVEY_ASSESSMENT,
    "fit_inputs": FIT_INPUTS,
    "decided_fit": DECIDED_FIT,
    "fitting_plan": FITTING_PLAN,
    "next_act": NEXT_ACT,
    **PAPERS,
}


@dataclass(frozen=True, slots=True)
class Screw:
    """mm; the torque it was driven with in N m, None where nobody read it."""

    length: float
    torque: float | None


def from_cm(screw: dict) -> dict:
    return {"length": screw["length_cm"] * 10}


def with_torque(screw: dict) -> dict:
    return screw | {"torque": None}


SCREW = FrozenKind("screw", Screw, (from_cm, with_torque))


@pytest.mark.parametrize(
    ("stored", "torque"),
    [
        ({"length_cm": 9}, None),
        ({"length_cm": 9, "format": 1}, None),
        ({"length": 90, "format": 2}, None),
        ({"length": 90, "torque": 4.5, "format": 3}, 4.5),
    ],
)
def test_every_older_format_is_read_as_the_newest(stored, torque):
    assert SCREW.read(stored) == Screw(90.0, torque)


def test_what_is_stored_is_not_changed_by_reading_it():
    stored = {"length_cm": 9}
    SCREW.read(stored)
    assert stored == {"length_cm": 9}


def test_what_is_written_carries_the_newest_format_and_reads_back():
    screw = Screw(90.0, 4.5)
    assert SCREW.write(screw) == {"length": 90.0, "torque": 4.5, "format": 3}
    assert SCREW.read(SCREW.write(screw)) == screw


@pytest.mark.parametrize("number", [4, 0, -1, "3", None, 2.0])
def test_a_format_that_is_not_known_is_refused_by_name(number):
    with pytest.raises(
        UnreadableRecord, match=r"screw: format .* this version reads formats 1 to 3"
    ):
        SCREW.read({"length": 90, "torque": None, "format": number})


def test_what_has_not_the_shape_of_its_format_is_refused_with_the_field():
    with pytest.raises(UnreadableRecord, match=r"screw, format 3: .*torque"):
        SCREW.read({"length": 90, "format": 3})


@pytest.mark.parametrize("folder", KINDS)
def test_there_is_a_stored_example_of_every_format_of_every_kind(folder):
    assert formats_in(folder) == every_format(KINDS[folder])
