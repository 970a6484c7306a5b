"""The frozen record of a survey sheet: every survey of every opening of a job."""

from jobs.frozen import extended, part_of
from jobs.models import Opening
from reports.models import Document
from reports.papers.frozen.papers import SurveyedOpening, SurveySheetRecord
from reports.papers.frozen.survey import AssessedOpening, SheetSurvey
from reports.papers.job_record import job_record
from reports.papers.photos import photo_facts
from reports.papers.plain import each_instrument_once, instant, opening_facts
from reports.papers.survey_record import survey_record
from surveys.models import Survey

# Sections of the rule set that decide something which the paper shows.
SHOWN_RULES = ("decision", "clearance", "joint", "opening_fit", "guarding")


def survey_sheet_record(document: Document) -> SurveySheetRecord:
    """The record of a survey sheet of a job with at least one survey."""
    openings = tuple(map(_opening, document.job.openings.order_by("number")))
    return extended(
        SurveySheetRecord,
        job_record(document, SHOWN_RULES),
        openings=openings,
        instruments=each_instrument_once(
            instrument
            for opening in openings
            for survey in opening.surveys
            for instrument in survey.instruments
        ),
    )


def _opening(opening: Opening) -> SurveyedOpening:
    surveys = (
        opening.surveys.select_related("surveyor")
        .prefetch_related("readings", "photos", "fit_decisions")
        .order_by("taken_at", "created_at", "id")
    )
    return SurveyedOpening(opening_facts(opening), tuple(map(_survey, surveys)))


def _survey(survey: Survey) -> SheetSurvey:
    decisions = sorted(
        survey.fit_decisions.all(), key=lambda decision: (decision.created_at, decision.pk)
    )
    assessment = survey.assessment
    answer = decisions[-1].answer if decisions else assessment
    return extended(
        SheetSurvey,
        survey_record(survey, decisions[-1] if decisions else None),
        accepted_at=instant(survey.accepted_at),
        suspects=assessment.suspect_readings,
        warnings=decisions[-1].answer.warnings if decisions else (),
        assessment=part_of(AssessedOpening, assessment),
        conditions=survey.conditions,
        photos=photo_facts(survey.photos.all()),
        method=answer.method,
        walls=answer.walls,
        read_next=answer.read_next,
        critical_places=decisions[-1].answer.critical_places if decisions else (),
        surfaces=survey.surfaces,
        higher_end=survey.higher_end,
        wide_joints=decisions[-1].answer.wide_joints if decisions else (),
    )
