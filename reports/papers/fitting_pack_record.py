"""The frozen record of a fitting pack: the plan of every doorset of a job whose fitting is planned.

It says what is to be done and keeps quiet about what has been done: it is taken along on paper.
"""

from typing import Any

from installs.frozen import FITTING_PLAN
from installs.models import Installation, PlanStep
from installs.services.handing_over import current_installations
from jobs.elevations import elevation_of
from jobs.models import Job
from reports.models import Document
from reports.papers.doorset_record import delivery_facts, order_facts
from reports.papers.job_record import job_record
from reports.papers.plain import instant
from surveys.gates import survey_before_removal

STEP_FACTS = ("number", "code", "title", "phase", "hold_point", "evidence", "caution")


def fitting_pack_record(document: Document) -> dict[str, Any]:
    """The record of a fitting pack of a job with at least one planned fitting."""
    record = job_record(document)
    record["site"]["access_notes"] = document.job.site.access_notes
    return record | {"installations": [_installation(one) for one in _installations(document.job)]}


def _installations(job: Job) -> Any:
    joined = current_installations(job).select_related("doorset__profile_system", "visit")
    return joined.order_by("doorset__opening__number")


def _installation(installation: Installation) -> dict[str, Any]:
    doorset = installation.doorset
    opening = doorset.opening
    survey = survey_before_removal(opening)
    visit = installation.visit
    return {
        "opening": {"number": opening.number, "name": opening.name},
        "order": order_facts(doorset),
        "upstand": doorset.calculation.upstand,
        "delivery": delivery_facts(doorset),
        "elevation": elevation_of(doorset),
        "visit": {
            "start": instant(visit.start),
            "end": instant(visit.end),
            "people": sorted(person.display_name for person in visit.people.all()),
        },
        "findings": survey.assessment.findings if survey else [],
        "replanned_because": installation.replanned_because,
        "plan": FITTING_PLAN.write(installation.plan),
        "steps": [_step(step) for step in installation.steps.order_by("number")],
    }


def _step(step: PlanStep) -> dict[str, Any]:
    """What decides it and what is looked at as lists: a record keeps no order among names."""
    return {name: getattr(step, name) for name in STEP_FACTS} | {
        "criteria": [{"name": name, **one} for name, one in step.in_order(step.criteria).items()],
        "checks": list(step.in_order(step.checks).values()),
    }
