"""What building regulations ask of a doorset in its case, beside what was worked out of it.

A limit is not one for everybody: an accessible threshold is asked of new dwellings and of material
alterations, a replacement must only not be worse than what it replaces; a replacement may keep to
its energy rating in place of its U. Where the case is not known, the answer is a question.
"""

from dataclasses import dataclass
from typing import Literal

from jobs.arithmetic.doorset import DoorsetAnswer, Finding, Thermal
from jobs.sentences import StoredSentence, sentence

Nation = Literal["", "england", "wales", "scotland", "northern_ireland"]
Work = Literal["", "new_dwelling", "replacement", "material_alteration"]
Standing = Literal["kept", "broken", "question"]
Code = Literal["threshold", "u_value", "security"]
BANDS = ("A++", "A+", "A", "B", "C", "D", "E", "F", "G")
"""Of the energy rating of doorsets, best first."""
OTHER_NATION = sentence("The limits known here are those of England: ask building control.")
WHICH_CASE = sentence(
    "Not a limit for every doorset: say in which nation it is fitted, and whether it is for a new "
    "dwelling, a replacement or a material alteration."
)
WITHIN = sentence("Within the limit, whatever the case.")
NO_WORSE = StoredSentence("A replacement, no worse than the old threshold of {existing:g} mm.")
WORSE = StoredSentence(
    "A replacement must not be worse than what it replaces; the old threshold stood up "
    "{existing:g} mm. Ask building control, or take a lower one."
)
HOW_HIGH = sentence(
    "A replacement must only not be worse than what it replaces: say how high the old threshold "
    "stood up."
)
NOT_ACCESSIBLE = sentence(
    "New dwellings and material alterations ask for an accessible threshold: ask building control "
    "whether this entrance needs one, or take a lower one."
)
NEW_DWELLING_KEPT = StoredSentence(
    "A new dwelling allows {limit:g} W/(m²K) at most; what it needs as a whole is in its energy "
    "calculation."
)
NEW_DWELLING_BROKEN = StoredSentence("A new dwelling allows {limit:g} W/(m²K) at most.")
BY_BAND = StoredSentence(
    "Kept by its energy rating: declared band {band}, band {least} or better is enough."
)
WHICH_BAND = StoredSentence(
    "An energy rating of band {least} or better is enough too: give the band that its maker "
    "declares."
)
NOT_BY_BAND = StoredSentence(
    "Neither by its U nor by its energy rating, band {band}; band {least} or better would be "
    "enough."
)


SECURED = StoredSentence("Resists burglars, by what its maker declares: {evidence}.")
HOW_SECURE = sentence(
    "A doorset that anybody can reach resists burglars in a new dwelling: give the evidence of its "
    "maker, such as a test by PAS 24."
)
SECURITY_SOURCE = sentence(
    "Approved Document Q (England), 2015 edition, 1.1 and 1.2: new dwellings only, secure doorsets "
    "by PAS 24 or one of the other standards that it names"
)


@dataclass(frozen=True, slots=True)
class Case:
    """What is asked of the work: `existing_upstand` of the threshold that is replaced in mm,
    `energy_band` and `security_evidence` as the maker of the doorset declares them; empty or None
    where nobody said."""

    nation: Nation = ""
    work: Work = ""
    existing_upstand: float | None = None
    energy_band: str = ""
    security_evidence: str = ""


@dataclass(frozen=True, slots=True)
class RequirementRules:
    """`u_value_new` in W/(m2 K); `least_band` of a doorset glazed over `mostly_glazed` of its face,
    and of any other; `may_be_higher` in mm than the threshold that is replaced."""

    u_value_new: float
    u_value_new_source: str
    mostly_glazed: float
    least_band: str
    least_band_of_others: str
    least_band_source: str
    may_be_higher: float
    may_be_higher_source: str


@dataclass(frozen=True, slots=True)
class Requirement:
    """`value` against the `limit` of the case, None where it is no figure; `why` says which case it
    is, or asks. `asks` names what has to be known before it can be said."""

    code: Code
    standing: Standing
    value: float | None
    limit: float | None
    unit: str
    why: str
    asks: tuple[str, ...]
    source: str


def judge_requirements(
    answer: DoorsetAnswer, case: Case, rules: RequirementRules
) -> tuple[Requirement, ...]:
    """Of the threshold where its upstand is known, of the U of the doorset, and in a new dwelling
    of its security."""
    threshold = [_threshold(answer.upstand, case, rules)] if answer.upstand else []
    return (*threshold, _u_value(answer.thermal, case, rules), *_security(case))


@dataclass(frozen=True, slots=True)
class _Judgement:
    """Empty `source` and `limit` for those of what was worked out."""

    standing: Standing
    why: str
    asks: tuple[str, ...] = ()
    source: str = ""
    limit: float | None = None


def _threshold(upstand: Finding, case: Case, rules: RequirementRules) -> Requirement:
    judgement = _whatever_the_case(case, upstand.within) or _raised(upstand.value, case, rules)
    return Requirement(
        code="threshold",
        standing=judgement.standing,
        value=upstand.value,
        limit=upstand.limit,
        unit=upstand.unit,
        why=judgement.why,
        asks=judgement.asks,
        source=judgement.source or upstand.source,
    )


def _u_value(thermal: Thermal, case: Case, rules: RequirementRules) -> Requirement:
    judgement = _whatever_the_case(case, thermal.within) or _leaky(thermal, case, rules)
    return Requirement(
        code="u_value",
        standing=judgement.standing,
        value=thermal.u_value_reported,
        limit=thermal.limit if judgement.limit is None else judgement.limit,
        unit="W/(m2 K)",
        why=judgement.why,
        asks=judgement.asks,
        source=judgement.source or thermal.source,
    )


def _security(case: Case) -> tuple[Requirement, ...]:
    """A replacement is asked for none; what was secure before may have to stay so by a contract."""
    if case.work != "new_dwelling":
        return ()
    if case.nation not in ("", "england"):
        judgement = _Judgement("question", OTHER_NATION)
    elif case.security_evidence:
        judgement = _Judgement("kept", SECURED(evidence=case.security_evidence))
    else:
        judgement = _Judgement("question", HOW_SECURE, ("security_evidence",))
    return (
        Requirement(
            code="security",
            standing=judgement.standing,
            value=None,
            limit=None,
            unit="",
            why=judgement.why,
            asks=judgement.asks,
            source=SECURITY_SOURCE,
        ),
    )


def _whatever_the_case(case: Case, within: bool) -> _Judgement | None:
    """None where it depends on the case, which is known."""
    if case.nation not in ("", "england"):
        return _Judgement("question", OTHER_NATION)
    if within:
        return _Judgement("kept", WITHIN)
    unknown = tuple(name for name in ("nation", "work") if not getattr(case, name))
    return _Judgement("question", WHICH_CASE, unknown) if unknown else None


def _raised(upstand: float, case: Case, rules: RequirementRules) -> _Judgement:
    """A threshold higher than an accessible one."""
    existing, source = case.existing_upstand, rules.may_be_higher_source
    if case.work != "replacement":
        return _Judgement("broken", NOT_ACCESSIBLE)
    if existing is None:
        return _Judgement("question", HOW_HIGH, ("existing_upstand",), source)
    if upstand <= existing + rules.may_be_higher:
        return _Judgement("kept", NO_WORSE(existing=existing), source=source)
    return _Judgement("broken", WORSE(existing=existing), source=source)


def _leaky(thermal: Thermal, case: Case, rules: RequirementRules) -> _Judgement:
    """A U over the limit of a doorset in an existing dwelling."""
    if case.work == "new_dwelling":
        limit, source = rules.u_value_new, rules.u_value_new_source
        if thermal.u_value_reported <= limit:
            return _Judgement("kept", NEW_DWELLING_KEPT(limit=limit), (), source, limit)
        return _Judgement("broken", NEW_DWELLING_BROKEN(limit=limit), (), source, limit)
    mostly = thermal.glazed_share > rules.mostly_glazed
    least = rules.least_band if mostly else rules.least_band_of_others
    band, source = case.energy_band, rules.least_band_source
    if not band:
        return _Judgement("question", WHICH_BAND(least=least), ("energy_band",), source)
    if BANDS.index(band) <= BANDS.index(least):
        return _Judgement("kept", BY_BAND(band=band, least=least), source=source)
    return _Judgement("broken", NOT_BY_BAND(band=band, least=least), source=source)
