"""A doorset to hold against the limits of a rule set; its sizes are made up."""

from dataclasses import replace
from typing import Any

from jobs.arithmetic.doorset import (
    DoorsetAnswer,
    DoorsetRequest,
    ProfileData,
    Size,
    work_out_doorset,
)
from jobs.arithmetic.fold import parse_fold
from jobs.arithmetic.glazing import read_glazing
from jobs.rules import Rules
from jobs.services.doorset_rules import doorset_rules
from tests.factories import GLAZING, PROFILE_DATA

REQUEST = DoorsetRequest(
    frame=Size(3590, 2100),
    fold=parse_fold("5-5-0"),
    opens="out",
    profile_system=ProfileData(**PROFILE_DATA | {"head_fixing": ("in_channel",)}),
    glazing=read_glazing(GLAZING),
)


def doorset(rules: Rules, **changes: Any) -> DoorsetAnswer:
    return work_out_doorset(replace(REQUEST, **changes), doorset_rules(rules))
