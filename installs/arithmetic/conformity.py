"""Does a measured value conform, given how well it is known? (JCGM 106:2012, clause 7)

All tolerance checks of the fitting record go through `judge_conformity`.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import prod
from statistics import NormalDist
from typing import Literal

from jobs.arithmetic.errors import UnusableInput
from jobs.sentences import sentence

EVEN_ODDS = 0.5
PRIOR_SOURCE = sentence(
    "the firm's earlier work, as stated with the request; never for what can hurt somebody"
)
Decision = Literal["pass", "fail", "inconclusive"]


@dataclass(frozen=True, slots=True)
class Workmanship:
    """What a firm's earlier work of the same kind was like, freed of what measuring it added."""

    mean: float
    standard_deviation: float


@dataclass(frozen=True, slots=True)
class Conformity:
    """`decision` at `confidence`: pass from it upwards, fail from its complement downwards."""

    probability_conforms: float
    decision: Decision
    confidence: float
    sources: tuple[str, ...] = (
        sentence("JCGM 106:2012, 7: conformance probability, normal distribution"),
    )


def judge_conformity(
    measured: float,
    standard_uncertainty: float,
    lower: float | None,
    upper: float | None,
    confidence: float,
) -> Conformity:
    """Probability that the true value lies within the limits, and the decision at `confidence`.

    All in one unit; at least one limit. A standard uncertainty of 0 means the value is exact.
    Raises `UnusableInput` without limits, for limits that leave nothing between them, for a
    negative uncertainty, and for a confidence that is not above a half and below one.
    """
    _check(standard_uncertainty, lower, upper, confidence)
    probability = _probability(measured, standard_uncertainty, lower, upper)
    return Conformity(probability, _decide(probability, confidence), confidence)


def judge_with_workmanship(
    measured: float,
    standard_uncertainty: float,
    lower: float | None,
    upper: float | None,
    confidence: float,
    *,
    workmanship: Workmanship,
) -> Conformity:
    """As `judge_conformity`, where good work is known before it is measured.

    Normal prior and normal error: the mean weighed by the inverse squares of both deviations
    (JCGM 106:2012, 7). A crew's history can hide a slip of this once: never for what can hurt
    somebody. Raises `UnusableInput` like `judge_conformity`, and for a history without spread.
    """
    spread = workmanship.standard_deviation
    if not spread > 0:
        raise UnusableInput(
            "/workmanship/standard_deviation",
            sentence("earlier work has a spread: give a number above 0"),
        )
    _check(standard_uncertainty, lower, upper, confidence)
    weight = spread**2 / (spread**2 + standard_uncertainty**2)
    value = weight * measured + (1 - weight) * workmanship.mean
    verdict = judge_conformity(value, standard_uncertainty * weight**0.5, lower, upper, confidence)
    return replace(verdict, sources=(*verdict.sources, PRIOR_SOURCE))


def judge_all(probabilities: Iterable[float], confidence: float) -> Conformity:
    """That all of several values conform, each known by readings of its own (JCGM 106:2012, 7; the
    probability of independent events that all hold is the product of theirs)."""
    probability = prod(probabilities)
    return Conformity(probability, _decide(probability, confidence), confidence)


def settling_uncertainty(
    measured: float, lower: float | None, upper: float | None, confidence: float
) -> float:
    """Standard uncertainty at which a value read here would be decided, one way or the other.

    The nearest limit decides: within or beyond it by z standard uncertainties, z being the normal
    deviate of the confidence. 0 on a limit itself, which no instrument settles.
    """
    nearest = min(abs(measured - limit) for limit in (lower, upper) if limit is not None)
    return nearest / NormalDist().inv_cdf(confidence)


def _check(u: float, lower: float | None, upper: float | None, confidence: float) -> None:
    if lower is None and upper is None:
        raise UnusableInput("/upper", sentence("give a lower limit, an upper limit, or both"))
    if lower is not None and upper is not None and lower > upper:
        raise UnusableInput(
            "/lower",
            sentence(
                "the lower limit {lower:g} is above the upper {upper:g}", lower=lower, upper=upper
            ),
        )
    if u < 0:
        raise UnusableInput(
            "/standard_uncertainty", sentence("a standard uncertainty is not negative")
        )
    if not EVEN_ODDS < confidence < 1:
        raise UnusableInput("/confidence", sentence("give a probability above 0.5 and below 1"))


def _probability(y: float, u: float, lower: float | None, upper: float | None) -> float:
    if u == 0:
        within = (lower is None or y >= lower) and (upper is None or y <= upper)
        return float(within)
    truth = NormalDist(y, u)
    below_upper = 1.0 if upper is None else truth.cdf(upper)
    below_lower = 0.0 if lower is None else truth.cdf(lower)
    return below_upper - below_lower


def _decide(probability: float, confidence: float) -> Decision:
    if probability >= confidence:
        return "pass"
    return "fail" if probability <= 1 - confidence else "inconclusive"
