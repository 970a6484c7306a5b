"""What a joint was sealed with, and under which conditions: which may be given, what they fail."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from django.utils.translation import gettext as _

from installs.arithmetic.sealing_conditions import (
    SealingConditions,
    SealingRules,
    sealing_shortfalls,
)
from installs.models import Inspection, PlanStep
from installs.sealant_judgement import joints_short_of
from installs.services.recording import reading_day
from jobs.errors import InvalidField
from jobs.rules import Rules

# What a step that seals takes, each where it was read.
FIELDS = ("surface_temperature", "air_temperature", "relative_humidity", "sealant_use_by")


def sealing_rules(rules: Rules) -> SealingRules:
    lowest, highest = rules["sealant.applied_at"]
    return SealingRules(
        lowest=lowest,
        highest=highest,
        temperature_source=rules.source("sealant.applied_at"),
        above_dew_point=rules["sealant.above_dew_point"],
        dew_point_source=rules.source("sealant.above_dew_point"),
    )


def check_sealing(step: PlanStep, given: Mapping[str, Any]) -> None:
    """Raises `InvalidField` for what the step does not ask, and for air without its humidity: the
    dew point follows from both, and is held against the faces of the joint."""
    said = [name for name in FIELDS if given.get(name) is not None]
    if stray := [name for name in said if name not in step.asks]:
        raise InvalidField(f"/{stray[0]}", _("nothing is sealed at this step"))
    of_air = ("air_temperature", "relative_humidity")
    if any(name in said for name in of_air):
        for name in (*of_air, "surface_temperature"):
            if name not in said:
                raise InvalidField(
                    f"/{name}",
                    _("give air temperature, humidity and the temperature of the faces together"),
                )


def sealed_short_of(inspection: Inspection) -> dict[str, Sequence[str]]:
    """What fails a joint that was sealed too cold, too hot, too damp, with an old sealant, or with
    one of a class that does not take the movement of the joint as it was measured; by place."""
    short: dict[str, Sequence[str]] = {}
    if conditions := _conditions_short(inspection):
        short["sealing_conditions"] = conditions
    if inspection.sealant_class is not None:
        joints = inspection.step.installation.plan.joints
        surface = _where_sealants_are_applied(inspection)
        for place, why in joints_short_of(joints, inspection.sealant_class, surface).items():
            short[place] = (why,)
    return short


def _conditions_short(inspection: Inspection) -> tuple[str, ...]:
    step = inspection.step
    if not set(FIELDS) & set(step.asks):
        return ()
    conditions = SealingConditions(
        day=_day(inspection),
        surface=inspection.surface_temperature,
        air=inspection.air_temperature,
        humidity=inspection.relative_humidity,
        use_by=inspection.sealant_use_by,
    )
    return sealing_shortfalls(conditions, sealing_rules(step.installation.rule_set.rules))


def _where_sealants_are_applied(inspection: Inspection) -> float | None:
    """The temperature of the faces, C; None where it was not read, or no sealant may be applied at
    it, whatever its class."""
    surface = inspection.surface_temperature
    rules = sealing_rules(inspection.step.installation.rule_set.rules)
    applied = surface is not None and rules.lowest <= surface <= rules.highest
    return surface if applied else None


def _day(inspection: Inspection) -> date:
    return reading_day(inspection.step.installation, inspection.recorded_at)
