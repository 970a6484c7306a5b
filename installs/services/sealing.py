"""The conditions under which a joint was sealed: which may be given, and what they fail."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from django.utils.translation import gettext as _

from installs.arithmetic.sealing_conditions import (
    SealingConditions,
    SealingRules,
    sealing_shortfalls,
)
from installs.models import Inspection, PlanStep
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


def sealed_short_of(inspection: Inspection) -> tuple[str, ...]:
    """What fails a joint that was sealed too cold, too hot, too damp or with an old sealant."""
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


def _day(inspection: Inspection) -> date:
    return reading_day(inspection.step.installation, inspection.recorded_at)
