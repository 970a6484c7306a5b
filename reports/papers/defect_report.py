"""The defect report: what its record says, in words."""

from collections import Counter
from typing import Any

from installs.models import Defect
from reports.papers.draft import Draft
from reports.papers.labels import job as job_labels
from reports.papers.labels.photos import photos_in_words


def defect_report(facts: dict[str, Any]) -> Draft:
    """From the record of `defect_report_record`."""
    defects = facts["defects"]
    shown = {
        "summary": _summary(defects),
        "defects": [_defect(number, defect) for number, defect in enumerate(defects, start=1)],
        "concessions": job_labels.concessions_in_words(facts["concessions"]),
    }
    photos = [photo for defect in defects for photo in defect["photos"]]
    return Draft("reports/defect_report.html", shown, photos=photos)


def _defect(number: int, defect: dict[str, Any]) -> dict[str, Any]:
    photos = photos_in_words(defect["photos"], f"of defect {number}")
    return defect | job_labels.defect_in_words(defect) | {"photos": photos}


def _summary(defects: list[dict[str, Any]]) -> dict[str, Any]:
    """How many of each severity stand how, the worst first."""
    states = Counter((defect["severity"], _state(defect)) for defect in defects)
    rows = [
        {"severity": severity, "found": sum(d["severity"] == severity for d in defects)}
        | {state: states[severity, state] for state in STATES}
        for severity in Defect.Severity.values
    ]
    still_open = sum(row["open"] + row["put_right"] for row in rows)
    told = f"Found so far: {len(defects)}. Not closed yet: {still_open or 'none'}."
    return {
        "rows": rows,
        "told": told if defects else "None was recorded.",
        "critical": any(_is_critical_and_open(defect) for defect in defects),
    }


STATES = ("open", "put_right", "closed", "conceded")


def _state(defect: dict[str, Any]) -> str:
    if defect["conceded"]:
        return "conceded"
    if defect["closed_at"]:
        return "closed"
    return "put_right" if defect["put_right_at"] else "open"


def _is_critical_and_open(defect: dict[str, Any]) -> bool:
    return defect["severity"] == Defect.Severity.CRITICAL and not defect["closed_at"]
