"""The limits of a calculated doorset as texts, each with whether it is kept."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext, gettext_noop
from django.utils.translation import gettext as _

from jobs.arithmetic.glass_safety import GlassFinding
from jobs.arithmetic.requirements import Requirement
from jobs.calculations import DoorsetCalculation
from jobs.figures import number
from jobs.models import ProfileSystem
from jobs.translation import translated

LIMITS = (
    ("width", "largest_leaf_width", gettext_noop("Widest leaf"), "mm"),
    ("height", "largest_leaf_height", gettext_noop("Tallest leaf"), "mm"),
    ("mass", "largest_leaf_mass", gettext_noop("Heaviest leaf"), "kg"),
)
STATES = {"kept": "pass", "broken": "fail", "question": "question"}


@dataclass(frozen=True, slots=True)
class Limit:
    """`state` is `pass`, `fail` or `question`; `value` and `limit` have their units. `why` says
    which case it is, or asks."""

    what: str
    state: str
    value: str
    limit: str
    why: str = ""


def limit_labels(
    calculation: DoorsetCalculation, system: ProfileSystem, requirements: Sequence[Requirement]
) -> list[Limit]:
    """Of the profile system, of the glass, and of the regulations for threshold, U and security."""
    return [
        *_of_the_system(calculation, system),
        *_of_the_glass(calculation.safety_glazing),
        *requirement_labels(requirements),
    ]


def requirement_labels(requirements: Sequence[Requirement]) -> list[Limit]:
    """Of threshold, U and security: kept, broken, or what has to be known first."""
    return [_requirement(requirement) for requirement in requirements]


def _of_the_system(calculation: DoorsetCalculation, system: ProfileSystem) -> Iterator[Limit]:
    broken = calculation.broken_limits
    for name, column, what, unit in LIMITS:
        largest = number(max(getattr(leaf, name) for leaf in calculation.leaves), ".1f")
        beyond = ", ".join(str(limit.leaf) for limit in broken if limit.what == name)
        value = _("{value} {unit} (leaf {leaves})") if beyond else "{value} {unit}"
        limit = _("the profile system allows {limit} {unit}")
        yield Limit(
            gettext(what),
            "fail" if beyond else "pass",
            value.format(value=largest, unit=unit, leaves=beyond),
            limit.format(limit=number(getattr(system, column)), unit=unit),
        )


def _of_the_glass(findings: Sequence[GlassFinding]) -> Iterator[Limit]:
    classes = sorted({finding.required_class for finding in findings} - {"none"})
    unsafe = [finding for finding in findings if finding.unsafe]
    where = "; ".join(_unsafe_panes(finding) for finding in unsafe)
    if classes:
        needed = _("{classes} is needed, {source}")
        yield Limit(
            _("Safety glass"),
            "fail" if unsafe else "pass",
            _("missing in {where}").format(where=where)
            if unsafe
            else _("wherever somebody can walk into it"),
            needed.format(classes=_(" or ").join(classes), source=findings[0].source),
        )


def _unsafe_panes(finding: GlassFinding) -> str:
    panes = ", ".join(map(str, finding.unsafe_panes))
    text = _("leaf {leaf}: pane {panes} from outside")
    return text.format(leaf=finding.leaf, panes=panes)


def _requirement(requirement: Requirement) -> Limit:
    if requirement.value is None or requirement.limit is None:
        return _without_figure(requirement)
    if requirement.code == "threshold":
        what, value = _("Threshold"), _("{value} mm above the floor")
        limit = _("at most {limit} mm, {source}")
    else:
        what, value = _("U of the doorset"), "{value} W/(m²K)"
        limit = _("at most {limit} W/(m²K), {source}")
    return Limit(
        what,
        STATES[requirement.standing],
        value.format(value=number(requirement.value)),
        limit.format(limit=number(requirement.limit), source=requirement.source),
        translated(requirement.why),
    )


def _without_figure(requirement: Requirement) -> Limit:
    """What is asked for is evidence, not a figure."""
    return Limit(
        _("Security"),
        STATES[requirement.standing],
        _("by the evidence of its maker"),
        translated(requirement.source),
        translated(requirement.why),
    )
