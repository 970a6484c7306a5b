"""The frozen record of a survey sheet: every survey of every opening of a job."""

from typing import Any

from jobs.models import Opening
from reports.models import Document
from reports.papers.job_record import job_record
from reports.papers.photos import photo_facts
from reports.papers.plain import each_instrument_once, instant
from reports.papers.survey_record import survey_record
from surveys.models import Survey

# Sections of the rule set that decide something which the paper shows.
SHOWN_RULES = ("decision", "clearance", "joint", "opening_fit", "guarding")


def survey_sheet_record(document: Document) -> dict[str, Any]:
    """The record of a survey sheet of a job with at least one survey."""
    openings = [_opening(opening) for opening in document.job.openings.order_by("number")]
    return job_record(document, SHOWN_RULES) | {
        "openings": openings,
        "instruments": each_instrument_once(
            instrument
            for opening in openings
            for survey in opening["surveys"]
            for instrument in survey["instruments"]
        ),
    }


def _opening(opening: Opening) -> dict[str, Any]:
    surveys = (
        opening.surveys.select_related("surveyor")
        .prefetch_related("readings", "photos", "fit_decisions")
        .order_by("taken_at", "created_at", "id")
    )
    return {
        "opening": {"number": opening.number, "name": opening.name},
        "surveys": [_survey(survey) for survey in surveys],
    }


def _survey(survey: Survey) -> dict[str, Any]:
    decisions = sorted(survey.fit_decisions.all(), key=lambda one: (one.created_at, one.pk))
    assessment = survey.assessment
    of_opening = ("clear_width", "clear_height", "largest_frame", "shape", "outline", "cautions")
    return survey_record(survey, decisions[-1] if decisions else None) | {
        "accepted_at": instant(survey.accepted_at),
        "suspects": assessment.suspect_readings,
        "warnings": decisions[-1].answer.warnings if decisions else [],
        "assessment": {name: getattr(assessment, name) for name in of_opening},
        "conditions": survey.conditions,
        "photos": photo_facts(survey.photos.all()),
    }
