"""How well the readings agree with each other, whatever the walls are.

Each reading is held against what all others say it should be, under every kind of wall at once. One
that no plausible kind of wall explains contradicts them. A blunder may be any reading: how probable
it is that it was this one goes by how improbable this one makes the set.
"""

from dataclasses import dataclass
from math import pi, sqrt

import numpy as np

from surveys.arithmetic.answers import AdjustmentReport, Residual, Suspect
from surveys.arithmetic.higher_end import swapped_levels
from surveys.arithmetic.readings import Opening
from surveys.arithmetic.rows import Numbers
from surveys.arithmetic.wall_evidence import PairEvidence
from surveys.arithmetic.walled_opening import WalledOpening

# A set contradicts itself when a reading is so improbable by all others, either way.
IMPROBABLE = 0.001
# So much less probable to be the blunder than the likeliest, a reading is not named.
NEARLY_AS_LIKELY = 0.01
SMALLEST = 1e-300
# Below this share of its own variance, a reading is not checked by the others at all.
LEAST_REDUNDANCY = 1e-4


@dataclass(frozen=True, slots=True)
class Agreement:
    """`blame`: how probable it is of each suspect that it is the blunder."""

    report: AdjustmentReport
    suspects: tuple[Suspect, ...]
    blame: tuple[float, ...]

    @property
    def contradictory(self) -> bool:
        return bool(self.suspects)


@dataclass(frozen=True, slots=True)
class _Checked:
    """Of each reading by all others: its mean, mm, how improbable it is, either way, and its
    density, as a logarithm; `redundancy` is the share of its variance that is its own error's."""

    expected: Numbers
    tails: Numbers
    density: Numbers
    redundancy: Numbers


def agreement(opening: WalledOpening, taken: Opening) -> Agreement:
    """Of the readings as they were `taken`."""
    from scipy.special import chdtrc, ndtri  # noqa: PLC0415 slow to import, only needed here

    rows, checked = opening.rows, _checked(opening)
    off = checked.expected - rows.values
    normalised = np.copysign(-ndtri(np.maximum(checked.tails, SMALLEST) / 2), off)
    columns = (np.array(rows.read), checked.redundancy * off, normalised, checked.redundancy)
    residuals = tuple(
        Residual(name, *figures)
        for name, *figures in zip(rows.names, *(c.tolist() for c in columns), strict=True)
    )
    chi_square = float(opening.mixture.jambs @ opening.mixture.jamb_evidence.chi_square)
    # Where right jamb and head stand, and each datum in use, costs one reading.
    freedom = len(rows.names) - 2 - rows.datums
    p_value = float(chdtrc(max(freedom, 1), chi_square))
    report = AdjustmentReport(chi_square, freedom, p_value, residuals)
    suspects, blame = _suspects(residuals, checked)
    swapped = swapped_levels(taken)
    return Agreement(report, (*suspects, *swapped), (*blame, *(1 / len(swapped) for _ in swapped)))


def _checked(opening: WalledOpening) -> _Checked:
    mixture = opening.mixture
    jambs = _by_others(opening, mixture.jambs, mixture.jamb_evidence)
    levels = _by_others(opening, mixture.levels, mixture.level_evidence)
    of_jambs = mixture.jamb_evidence.judged
    return _Checked(
        *(np.where(of_jambs, a, b) for a, b in zip(jambs, levels, strict=True)),
    )


def _by_others(
    opening: WalledOpening, pairs: Numbers, evidence: PairEvidence
) -> tuple[Numbers, Numbers, Numbers, Numbers]:
    """Of each reading by all others, over all pairs of kinds: what `_Checked` holds."""
    from scipy.special import ndtr  # noqa: PLC0415 slow to import, only needed here

    deviations = (opening.rows.values - evidence.expected) / evidence.spread
    logarithms = -0.5 * deviations**2 - np.log(evidence.spread * sqrt(2 * pi))
    # Without the reading itself, which says something of the walls too.
    without = evidence.logarithms[:, None] - logarithms
    greatest = without.max(axis=0)
    probabilities = np.exp(without - greatest)
    summed = probabilities.sum(axis=0)
    probabilities /= summed
    redundancy = opening.rows.deviations**2 / evidence.spread**2
    return (
        (probabilities * evidence.expected).sum(axis=0),
        2 * (probabilities * ndtr(-np.abs(deviations))).sum(axis=0),
        # A mean of densities over what remains probable without the reading: pairs add up to 1.
        -greatest - np.log(summed),
        (pairs[:, None] * redundancy).sum(axis=0),
    )


def _suspects(
    residuals: tuple[Residual, ...], checked: _Checked
) -> tuple[tuple[Suspect, ...], tuple[float, ...]]:
    """The readings that may be the blunder, likeliest first, with how probable that is of each;
    none where the set does not contradict itself."""
    counts = checked.redundancy > LEAST_REDUNDANCY
    if not (counts & (checked.tails < IMPROBABLE)).any():
        return (), ()
    blame = np.where(counts, np.exp(checked.density[counts].min() - checked.density), 0.0)
    blame /= blame.sum()
    named = [i for i in np.argsort(-blame) if blame[i] >= NEARLY_AS_LIKELY * blame.max()]
    suspects = (
        Suspect(one.reading, one.normalised, one.value + one.residual / one.redundancy)
        for one in (residuals[i] for i in named)
    )
    return tuple(suspects), tuple(float(blame[i]) for i in named)
