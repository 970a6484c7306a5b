"""From a doorset record and its job's rule set to the doorset arithmetic and back."""

from dataclasses import fields
from typing import Any, cast

from jobs.arithmetic.doorset import (
    DoorsetRequest,
    DoorsetRules,
    ProfileData,
    Size,
    work_out_doorset,
)
from jobs.arithmetic.fold import Fold, parse_fold
from jobs.arithmetic.glass_safety import GlassSafetyRules
from jobs.arithmetic.glazing import read_glazing
from jobs.arithmetic.requirements import (
    Case,
    Nation,
    Requirement,
    RequirementRules,
    Work,
    judge_requirements,
)
from jobs.calculations import DoorsetCalculation
from jobs.frozen import extended
from jobs.models import Doorset, Opening, ProfileSystem
from jobs.rules import Rules


def work_out(doorset: Doorset) -> DoorsetCalculation:
    """The answer of the doorset arithmetic for these values under the job's rule set."""
    rules = doorset.job.rule_set.rules
    request = DoorsetRequest(
        frame=Size(doorset.frame_width, doorset.frame_height),
        fold=Fold(doorset.leaves, doorset.left_leaves, doorset.right_leaves),
        opens="out" if doorset.opens == "out" else "in",
        profile_system=profile_data(doorset.profile_system),
        glazing=read_glazing(doorset.glazing),
        upstand=doorset.upstand,
    )
    answer = work_out_doorset(request, doorset_rules(rules))
    return extended(DoorsetCalculation, answer, **rules.signature())


def try_out(opening: Opening, upstand: float | None, **order: Any) -> Doorset:
    """A doorset that is not stored, worked out: what a draft of it would be.

    `order` needs profile_system, fold, opens, frame and glazing. Raises `UnusableInput`.
    """
    fold, frame = parse_fold(order["fold"]), order["frame"]
    doorset = Doorset(
        opening=opening,
        energy_band=order.get("energy_band", ""),
        security_evidence=order.get("security_evidence", ""),
        leaves=fold.leaves,
        left_leaves=fold.left,
        right_leaves=fold.right,
        opens=order["opens"],
        frame_width=frame["width"],
        frame_height=frame["height"],
        profile_system=order["profile_system"],
        glazing=order["glazing"],
    )
    if upstand is not None:
        doorset.upstand = upstand
    doorset.calculation = work_out(doorset)
    return doorset


def doorset_rules(rules: Rules) -> DoorsetRules:
    """The limits that a doorset is held to."""
    return DoorsetRules(
        u_value=rules["thermal.u_value"],
        u_value_source=rules.source("thermal.u_value"),
        upstand=rules["threshold.upstand"],
        upstand_source=rules.source("threshold.upstand"),
        glass=GlassSafetyRules(
            door_height=rules["glass.door_height"],
            wide_pane=rules["glass.wide_pane"],
            source=rules.source("glass.door_height", "glass.wide_pane"),
        ),
    )


def requirements_of(doorset: Doorset) -> tuple[Requirement, ...]:
    """What building regulations ask of a doorset that is worked out, in the case of its opening.

    Judged anew each time: what was asked may have been answered since it was drafted.
    """
    opening = doorset.opening
    case = Case(
        cast(Nation, opening.nation),
        cast(Work, opening.work),
        opening.existing_upstand,
        doorset.energy_band,
        doorset.security_evidence,
    )
    rules = requirement_rules(doorset.job.rule_set.rules)
    return judge_requirements(doorset.calculation, case, rules)


def requirement_rules(rules: Rules) -> RequirementRules:
    """What counts beside the limits of `doorset_rules`, by the case of the work."""
    least_band, least_band_of_others = rules["thermal.energy_band"]
    return RequirementRules(
        u_value_new=rules["thermal.u_value_new_dwelling"],
        u_value_new_source=rules.source("thermal.u_value_new_dwelling"),
        mostly_glazed=rules["thermal.mostly_glazed"],
        least_band=least_band,
        least_band_of_others=least_band_of_others,
        least_band_source=rules.source("thermal.energy_band", "thermal.mostly_glazed"),
        may_be_higher=rules["threshold.replacement"],
        may_be_higher_source=rules.source("threshold.replacement"),
    )


def profile_data(system: ProfileSystem) -> ProfileData:
    """The columns of a profile system that the arithmetic needs."""
    values = {field.name: getattr(system, field.name) for field in fields(ProfileData)}
    return ProfileData(**values | {"head_fixing": tuple(system.head_fixing)})
