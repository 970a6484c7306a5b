"""What every reading of a fitting is compared with, for each instrument that can take it.

A phone holds two numbers against each other and decides as the service would: where each decision
changes follows from what the service judges with (`installs/arithmetic/decision_limits.py`).
"""

from collections.abc import Iterable
from functools import lru_cache
from typing import Any

from django.utils import timezone
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from installs.arithmetic.criteria import Criterion
from installs.arithmetic.decision_limits import DecisionLimits, decision_limits
from installs.arithmetic.gap_table import GapTable, gap_table
from installs.frozen import RunningGear
from installs.models import Installation, PlanStep
from installs.services.gap_limits import judge_gap
from installs.services.inspecting import criteria_of
from installs.services.instrument_fit import fits, gap_criteria
from installs.services.recording import arithmetic_facts
from jobs.code_labels import code_label
from jobs.figures import figure
from jobs.models import Person
from jobs.translation import translated
from surveys.arithmetic.uncertainty import READ_GAPS
from surveys.arithmetic.uncertainty import Instrument as InstrumentFacts
from surveys.models import Instrument

Json = dict[str, Any]
GREATEST_GAP_MM = 50.0


class _Numbered(dict[Any, int]):
    """Things that are named by their number; what is there already is not told twice."""

    def number_of(self, thing: Any) -> int:
        return self.setdefault(thing, len(self))


def limits_for_phone(person: Person, fitting: Installation) -> Json:
    """By step and instrument, by junction and instrument; lengths in mm.

    `limits` and `tables` are named by their numbers, since many readings share them. `person` is
    whose phone may keep it.
    """
    instruments = _instruments_of(person)
    limits, tables = _Numbered(), _Numbered()
    steps = [step for step in fitting.steps.order_by("number") if "reading" in step.evidence]
    by_step = {str(step.pk): _of_step(fitting, step, instruments, limits) for step in steps}
    gaps = _of_gaps(fitting, instruments, limits, tables)
    used = {key for part in (*by_step.values(), gaps) for key in part["by_instrument"]}
    return {
        "person": str(person.pk),
        "instruments": {
            str(instrument.pk): _shown(instrument)
            for instrument in instruments
            if str(instrument.pk) in used
        },
        "steps": by_step,
        "gaps": gaps,
        "limits": [{"edges": one.edges, "decisions": one.decisions} for one in limits],
        "tables": [table.rows for table in tables],
    }


def _instruments_of(person: Person) -> list[Instrument]:
    in_calibration = Instrument.objects.filter(calibration_due__gte=timezone.localdate())
    return list(in_calibration.visible_to(person).order_by("name", "serial"))


def _shown(instrument: Instrument) -> Json:
    return {
        "name": str(instrument),
        "calibration_due": instrument.calibration_due.isoformat(),
        "greatest_reading": instrument.greatest_reading,
    }


def _of_step(
    fitting: Installation, step: PlanStep, instruments: Iterable[Instrument], limits: _Numbered
) -> Json:
    criteria, rules = criteria_of(step), fitting.rule_set.rules
    return {
        "criteria": [_criterion(name, criterion) for name, criterion in criteria.items()],
        "by_instrument": {
            str(instrument.pk): [
                limits.number_of(
                    decision_limits(
                        criterion, arithmetic_facts(instrument), rules["decision.confidence"]
                    )
                )
                for criterion in criteria.values()
            ]
            for instrument in instruments
            if fits(criteria, step.instruments, instrument, rules)
        },
    }


def _criterion(name: str, criterion: Criterion) -> Json:
    """What is judged follows from the readings at `of` by its `method`, as `Criterion` says; what
    is below `lowest` or above `highest` cannot be meant."""
    return {
        "label": capfirst(code_label(name)),
        "method": criterion.method,
        "of": criterion.of,
        "unit": translated(criterion.unit),
        "allowed": allowed(criterion.lower, criterion.upper, criterion.unit),
        "lowest": criterion.lowest,
        "highest": criterion.highest,
    }


def _of_gaps(
    fitting: Installation,
    instruments: Iterable[Instrument],
    limits: _Numbered,
    tables: _Numbered,
) -> Json:
    """Where gaps are judged by their difference alone it has limits; else there is a table."""
    gear, rules = fitting.plan.running_gear, fitting.rule_set.rules
    criteria, confidence = gap_criteria(gear.tolerance), rules["decision.confidence"]
    suitable = [one for one in instruments if fits(criteria, READ_GAPS, one, rules)]
    by_instrument: Json = {}
    for instrument in suitable:
        facts = arithmetic_facts(instrument)
        table = _gap_table(gear, facts, confidence)
        if table is None:
            number = limits.number_of(_difference(gear, facts, confidence))
            by_instrument[str(instrument.pk)] = {"limits": number}
        else:
            by_instrument[str(instrument.pk)] = {"table": tables.number_of(table)}
    return {
        "allowed": allowed(-gear.tolerance, gear.tolerance, "mm"),
        "lowest": 0.0,
        "highest": GREATEST_GAP_MM,
        "by_instrument": by_instrument,
    }


def _difference(gear: RunningGear, facts: InstrumentFacts, confidence: float) -> DecisionLimits:
    return decision_limits(gap_criteria(gear.tolerance)["difference"], facts, confidence)


@lru_cache(maxsize=256)
def _gap_table(gear: RunningGear, facts: InstrumentFacts, confidence: float) -> GapTable | None:
    if gear.leaf_gap is None or gear.together_tolerance is None:
        return None
    return gap_table(
        lambda head, sill: judge_gap(gear, head, sill, facts, confidence).decision,
        gear.leaf_gap,
        GREATEST_GAP_MM,
    )


def allowed(lower: float | None, upper: float | None, unit: str) -> str:
    """Limits in words."""
    values = {"lower": figure(lower), "upper": figure(upper), "unit": translated(unit)}
    if lower is None:
        return _("at most {upper} {unit}").format(**values)
    if upper is None:
        return _("at least {lower} {unit}").format(**values)
    if lower == -upper:
        return _("within ± {upper} {unit}").format(**values)
    return _("{lower} to {upper} {unit}").format(**values)
