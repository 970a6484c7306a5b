"""The frozen record of a fitting pack: the plan of every doorset of a job whose fitting is planned.

It says what is to be done and keeps quiet about what has been done: it is taken along on paper.
"""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import msgspec

from installs.arithmetic.criteria import UsableInstrument
from installs.frozen import FITTING_PLAN
from installs.models import Installation, PlanStep
from installs.services.handing_over import current_installations
from installs.services.inspecting import criteria_of
from installs.services.instrument_fit import usable_instruments
from installs.services.planning import stage_planned_from
from jobs.elevations import elevation_of
from jobs.frozen import extended
from jobs.models import Job, Visit
from reports.models import Document
from reports.papers.doorset_record import delivery_facts, order_facts
from reports.papers.frozen.papers import (
    FittingPackRecord,
    NamedCriterion,
    PlannedInstallation,
    StepFacts,
    VisitFacts,
)
from reports.papers.job_record import job_record
from reports.papers.plain import instant, opening_facts
from surveys.arithmetic.findings import Finding
from surveys.gates import newest_survey_on_site
from surveys.models import FitDecision, Survey
from surveys.services.leaf_space import plan_of


def fitting_pack_record(document: Document) -> FittingPackRecord:
    """The record of a fitting pack of a job with at least one planned fitting."""
    job = document.job
    record = job_record(document)
    return extended(
        FittingPackRecord,
        replace(record, site=replace(record.site, access_notes=job.site.access_notes)),
        installations=tuple(map(_installation, _installations(job))),
    )


def _installations(job: Job) -> Any:
    joined = current_installations(job).select_related(
        "doorset__profile_system", "visit", "rule_set"
    )
    return joined.order_by("doorset__opening__number")


def _installation(installation: Installation) -> PlannedInstallation:
    doorset = installation.doorset
    survey = newest_survey_on_site(doorset.opening)
    return PlannedInstallation(
        opening=opening_facts(doorset.opening),
        order=order_facts(doorset),
        upstand=doorset.calculation.upstand,
        delivery=delivery_facts(doorset),
        elevation=elevation_of(doorset),
        visit=_visit(installation.visit),
        findings=_findings(survey, installation),
        replanned_because=installation.replanned_because,
        planned_from=stage_planned_from(installation.plan),
        plan=FITTING_PLAN.write(installation.plan),
        steps=tuple(map(_step, _steps(installation))),
        seen_from_above=plan_of(doorset),
    )


def _findings(survey: Survey | None, installation: Installation) -> tuple[Finding, ...]:
    """What was recorded at the opening, and what the joints that were planned from call for."""
    decided = installation.plan.fit_decision
    decision = FitDecision.objects.filter(pk=decided).first() if decided else None
    return (
        *(survey.assessment.findings if survey else ()),
        *(decision.answer.findings if decision else ()),
    )


def _visit(visit: Visit) -> VisitFacts:
    people = sorted(person.display_name for person in visit.people.all())
    return VisitFacts(instant(visit.start), instant(visit.end), tuple(people))


def _steps(installation: Installation) -> Iterator[PlanStep]:
    for step in installation.steps.order_by("number"):
        step.installation = installation
        yield step


def _step(step: PlanStep) -> StepFacts:
    """What decides it and what is looked at as lists: a record keeps no order among names."""
    criteria = step.in_order(step.criteria).items()
    return StepFacts(
        number=step.number,
        code=step.code,
        title=step.title,
        phase=step.phase,
        hold_point=step.hold_point,
        evidence=tuple(step.evidence),
        caution=step.caution,
        criteria=tuple(msgspec.convert({"name": n, **one}, NamedCriterion) for n, one in criteria),
        checks=tuple(step.in_order(step.checks).values()),
        usable_instruments=_usable_instruments(step) or msgspec.UNSET,
    )


def _usable_instruments(step: PlanStep) -> tuple[UsableInstrument, ...]:
    rules = step.installation.rule_set.rules
    return tuple(usable_instruments(criteria_of(step), step.instruments, rules))
