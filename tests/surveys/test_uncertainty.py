import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.arithmetic.errors import UnusableInput
from surveys.arithmetic.uncertainty import Instrument, standard_uncertainty, tape_permissible_error

lengths = st.floats(1, 20000)


@given(lengths, lengths)
def test_a_tape_is_never_better_over_a_longer_length(one, other):
    shorter, longer = sorted((one, other))
    assert tape_permissible_error(shorter, "II", False) <= tape_permissible_error(
        longer, "II", False
    )


@given(lengths)
def test_a_better_class_reads_better_at_any_length(length):
    first, second, third = (
        standard_uncertainty(Instrument("tape", accuracy_class), length)
        for accuracy_class in ("I", "II", "III")
    )
    assert first < second < third


def test_a_reading_from_the_end_hook_is_worse():
    hooked = Instrument("tape", "II", from_end_hook=True)
    assert standard_uncertainty(hooked, 3000) > standard_uncertainty(Instrument("tape", "II"), 3000)


def test_an_exact_metre_is_not_rounded_up():
    # from memory: tables of tape makers give 1.3 mm for class II at 5 m
    assert tape_permissible_error(5000, "II", False) == pytest.approx(1.3)
    assert tape_permissible_error(5001, "II", False) == pytest.approx(1.5)


def test_no_instrument_is_better_than_the_millimetre_it_is_read_to():
    # closed form: half a millimetre over the square root of three
    fine = Instrument("laser", expanded_uncertainty=1e-6, coverage_factor=2)
    assert standard_uncertainty(fine, 3000) == pytest.approx(0.288675, abs=1e-6)


@pytest.mark.parametrize(
    ("instrument", "pointer"),
    [
        (Instrument("tape"), "/accuracy_class"),
        (Instrument("tape", "IV"), "/accuracy_class"),
        (Instrument("laser"), "/expanded_uncertainty"),
        (Instrument("laser", expanded_uncertainty=1.0), "/coverage_factor"),
        (
            Instrument("level", expanded_uncertainty=-1.0, coverage_factor=2),
            "/expanded_uncertainty",
        ),
        (
            Instrument("level", expanded_uncertainty=float("nan"), coverage_factor=2),
            "/expanded_uncertainty",
        ),
    ],
)
def test_an_instrument_that_says_too_little_is_refused_by_field(instrument, pointer):
    with pytest.raises(UnusableInput) as refusal:
        standard_uncertainty(instrument, 1000)
    assert refusal.value.pointer == pointer
