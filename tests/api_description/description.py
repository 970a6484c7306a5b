"""The API's own description, and cases made from it, of which some are about what there is."""

from collections.abc import Mapping
from copy import deepcopy
from functools import cache
from typing import Any

from hypothesis import strategies as st
from schemathesis import Case, GenerationMode, openapi
from schemathesis.config import GenerationConfig, ProjectConfig, ProjectsConfig, SchemathesisConfig
from schemathesis.schemas import APIOperation
from schemathesis.specs.openapi.schemas import OpenApiSchema

from jobs.api.schema import DescriptionGenerator

# The part of a finished job that an address below this collection is about.
PART_OF = {
    "beads": "bead",
    "carrier-lifts": "lift",
    "concessions": "concession",
    "crews": "survey_crew",
    "customers": "customer",
    "defects": "defect",
    "deliveries": "delivery",
    "device-keys": "device_key",
    "dispatches": "letter",
    "documents": "document",
    "doorsets": "doorset",
    "fit-decisions": "decision",
    "fixings": "fixing",
    "handovers": "handover",
    "inspections": "inspection",
    "installations": "installation",
    "instruments": "instrument",
    "jobs": "job",
    "junction-gaps": "gap",
    "maker-instructions": "instruction",
    "openings": "opening",
    "packer-changes": "packer_change",
    "photos": "photo",
    "set-aside": "set_aside",
    "plan-steps": "step",
    "profile-systems": "profile_system",
    "rule-sets": "rule_set",
    "sash-records": "sash",
    "site-photos": "site_photo",
    "sites": "site",
    "surveys": "survey",
    "verifications": "code",
    "visits": "fitting_visit",
    "webhook-endpoints": "webhook",
    "witnesses": "witness",
}
# The part that a field of a body names.
PART_NAMED = {
    "crew": "survey_crew",
    "customer": "customer",
    "defect": "defect",
    "doorset": "doorset",
    "installation": "installation",
    "instrument": "instrument",
    "job": "job_key",
    "level_instrument": "instrument",
    "opening": "opening",
    "profile_system": "profile_system",
    "rule_set": "rule_set",
    "site": "site",
    "step": "step",
    "survey": "survey",
    "visit": "fitting_visit",
}
OF_ONE_KIND = GenerationConfig(allow_x00=True, with_security_parameters=False)


@cache
def description() -> OpenApiSchema:
    document = deepcopy(DescriptionGenerator().get_schema(public=True))
    projects = ProjectsConfig(default=ProjectConfig(generation=OF_ONE_KIND))
    return openapi.from_dict(document, config=SchemathesisConfig(projects=projects))


def operations() -> dict[str, APIOperation]:
    """Every operation of the description, by method and path."""
    operations_described = (result.ok() for result in description().get_all_operations())
    return {operation.label: operation for operation in operations_described}


def cases(operation: APIOperation, parts: Mapping[str, str]) -> st.SearchStrategy[Case]:
    """As described, besides the description, and as described about records that there are."""
    known = {"headers": _version_known(operation), "path_parameters": _path_known(operation, parts)}
    return st.one_of(
        operation.as_strategy(GenerationMode.POSITIVE, **known).map(
            lambda case: _about(case, parts)
        ),
        operation.as_strategy(GenerationMode.POSITIVE),
        operation.as_strategy(GenerationMode.NEGATIVE),
    )


def _version_known(operation: APIOperation) -> dict[str, str] | None:
    return {"If-Match": '"1"'} if "If-Match" in {p.name for p in operation.headers} else None


def _path_known(operation: APIOperation, parts: Mapping[str, str]) -> dict[str, str] | None:
    collection = operation.path.removeprefix("/api/v1/").partition("/")[0]
    names = [parameter.name for parameter in operation.path_parameters]
    return dict.fromkeys(names, parts[PART_OF[collection]]) if names else None


def _about(case: Case, parts: Mapping[str, str]) -> Case:
    if isinstance(case.body, dict):
        named: dict[str, Any] = {
            field: parts[PART_NAMED[field]] for field in case.body if field in PART_NAMED
        }
        case.body.update(named)
    return case
