"""The defect report: what its record says, as labels."""

from collections import Counter
from collections.abc import Sequence
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from installs.models import Defect
from reports.papers.draft import Draft
from reports.papers.frozen.defects import ReportedDefect
from reports.papers.frozen.papers import DefectReportRecord
from reports.papers.labels import job as job_labels
from reports.papers.labels.photos import photo_labels


def defect_report(facts: DefectReportRecord) -> Draft:
    """From the record of `defect_report_record`."""
    defects = facts.defects
    context = {
        "summary": _summary(defects),
        "defects": [_defect(number, defect) for number, defect in enumerate(defects, start=1)],
        "concessions": job_labels.concession_labels(facts.concessions),
    }
    photos = [photo for defect in defects for photo in defect.photos]
    return Draft("reports/defect_report.html", context, photos=photos)


def _defect(number: int, defect: ReportedDefect) -> dict[str, Any]:
    caption = _("Photo {number} of defect {defect}").format(number="{number}", defect=number)
    return job_labels.defect_labels(defect) | {
        "severity_title": _(SEVERITY_TITLES[defect.severity]),
        "photos": photo_labels(defect.photos, caption),
    }


def _summary(defects: Sequence[ReportedDefect]) -> dict[str, Any]:
    """How many of each severity are in which state, the worst first."""
    states = Counter((defect.severity, _state(defect)) for defect in defects)
    rows = [
        {"severity": severity, "recorded": sum(d.severity == severity for d in defects)}
        | {state: states[severity, state] for state in STATES}
        for severity in Defect.Severity.values
    ]
    still_open = sum(_state(defect) in STILL_OPEN for defect in defects)
    text = _("Recorded so far: {count}. Not closed yet: {open}.")
    return {
        "rows": rows,
        "text": text.format(count=len(defects), open=still_open)
        if defects
        else _("None was recorded."),
        "critical": any(_is_critical_and_open(defect) for defect in defects),
    }


STILL_OPEN = ("open", "put_right", "to_come")
STATES = ("open", "put_right", "to_come", "closed", "conceded")
SEVERITY_TITLES = {
    "critical": gettext_noop("Critical"),
    "major": gettext_noop("Major"),
    "minor": gettext_noop("Minor"),
}


def _state(defect: ReportedDefect) -> str:
    if defect.conceded:
        return "conceded"
    if defect.closed_at:
        return "closed"
    if defect.signed_for:
        return "to_come"
    return "put_right" if defect.put_right_at else "open"


def _is_critical_and_open(defect: ReportedDefect) -> bool:
    return defect.severity == Defect.Severity.CRITICAL and not defect.closed_at
