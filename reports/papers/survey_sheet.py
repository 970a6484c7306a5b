"""The survey sheet: what its record says, as labels and drawings."""

from collections.abc import Iterator
from typing import Any

from django.utils.translation import gettext as _

from jobs.translation import translated
from reports.papers.draft import Draft, labelled
from reports.papers.frozen.papers import SurveyedOpening, SurveySheetRecord
from reports.papers.frozen.survey import SheetSurvey
from reports.papers.labels import job as job_labels
from reports.papers.labels.photos import photo_labels
from reports.papers.labels.survey import sheet_labels
from reports.papers.parts import SCHEME, SVG, Part
from surveys.drawings import FittedOpening, opening_svg


def survey_sheet(facts: SurveySheetRecord) -> Draft:
    """From the record of `survey_sheet_record`."""
    drawn = dict(_drawn(facts))
    context = {
        "openings": [_opening(opening, drawn) for opening in facts.openings],
        "cautions": job_labels.each_once(
            caution for _name, survey in _surveys(facts) for caution in survey.assessment.cautions
        ),
        "instruments": job_labels.instrument_labels(facts.instruments),
        "rules": [job_labels.rule_label(rule) for rule in facts.rule_set.rules],
    }
    parts = {name: Part(SVG, opening_svg(opening).encode()) for name, opening in drawn.items()}
    photos = [photo for _name, survey in _surveys(facts) for photo in survey.photos]
    return Draft("reports/survey_sheet.html", context, parts, photos)


def _surveys(facts: SurveySheetRecord) -> Iterator[tuple[str, SheetSurvey]]:
    """Every survey with the name of its drawing."""
    for opening in facts.openings:
        for index, survey in enumerate(opening.surveys):
            yield f"opening-{opening.opening.number}-{index}", survey


def _drawn(facts: SurveySheetRecord) -> Iterator[tuple[str, FittedOpening]]:
    for name, survey in _surveys(facts):
        if fit := survey.standing:
            yield name, FittedOpening.read(fit.inputs, fit.answer, survey.critical_places)
        else:
            yield name, FittedOpening.clear(survey.assessment.outline)


def _opening(opening: SurveyedOpening, drawn: dict[str, FittedOpening]) -> dict[str, Any]:
    number = opening.opening.number
    caption = _("Photo {number} of opening {opening}").format(number="{number}", opening=number)
    surveys = []
    for index, survey in enumerate(opening.surveys):
        name = f"opening-{number}-{index}"
        labels = {
            "drawing": {"address": f"{SCHEME}{name}", "alt": translated(drawn[name].description)},
            "photos": photo_labels(survey.photos, caption),
        }
        surveys.append(sheet_labels(survey) | labels)
    return labelled(opening, {"surveys": surveys})
