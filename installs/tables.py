"""What stands in the tables of what was fitted, inspected and found."""

from typing import Any

from django.db.models import QuerySet

from installs.models import Installation, Reading
from jobs.models import Person
from jobs.table_file import Table, moment


def _job(installation: Installation) -> str:
    return installation.job.reference


def _opening(installation: Installation) -> str:
    return installation.doorset.opening.name


def _made(record: Any) -> str:
    """On site, which may be long before it was sent."""
    return moment(record.recorded_at or record.created_at)


def _name(person: Person | None) -> str:
    return person.display_name if person else ""


JOB = "installation__doorset__opening__job"

FIXINGS = Table(
    title="Fixings",
    columns={
        "Job": lambda fixing: _job(fixing.installation),
        "Opening": lambda fixing: _opening(fixing.installation),
        "Member": lambda fixing: fixing.get_member_display(),
        "Position from the left or foot end (mm)": lambda fixing: fixing.position,
        "Kind": lambda fixing: fixing.get_kind_display(),
        "Packers (mm each)": lambda fixing: " + ".join(f"{mm:g}" for mm in fixing.packers),
        "Made": _made,
        "Fitter": lambda fixing: _name(fixing.fitter),
    },
    joined=(JOB, "fitter"),
)

JUNCTION_GAPS = Table(
    title="Junction gaps",
    columns={
        "Job": lambda gap: _job(gap.installation),
        "Opening": lambda gap: _opening(gap.installation),
        "Junction": lambda gap: gap.junction,
        "Gap at the head (mm)": lambda gap: gap.head_gap,
        "Gap at the sill (mm)": lambda gap: gap.sill_gap,
        "Greatest difference (mm)": lambda gap: gap.limit,
        "Standard uncertainty of the difference (mm)": lambda gap: gap.standard_uncertainty,
        "Probability that it conforms (0 to 1)": lambda gap: gap.probability_conforms,
        "Decision": lambda gap: gap.decision,
        "Made": _made,
        "Fitter": lambda gap: _name(gap.fitter),
    },
    joined=(JOB, "fitter"),
)

DEFECTS = Table(
    title="Defects",
    columns={
        "Job": lambda defect: _job(defect.installation),
        "Opening": lambda defect: _opening(defect.installation),
        "Severity": lambda defect: defect.get_severity_display(),
        "Description": lambda defect: defect.description,
        "Put right by whom": lambda defect: defect.get_responsible_display(),
        "Found": _made,
        "Found by": lambda defect: _name(defect.found_by),
        "Put right": lambda defect: moment(defect.put_right_at),
        "Put right by": lambda defect: _name(defect.put_right_by),
        "How": lambda defect: defect.put_right_how,
        "Looked at again": lambda defect: moment(defect.reinspected_at),
        "Looked at again by": lambda defect: _name(defect.reinspected_by),
        "Note": lambda defect: defect.reinspection_note,
        "Closed": lambda defect: moment(defect.closed_at),
    },
    joined=(JOB, "found_by", "put_right_by", "reinspected_by"),
)


def _readings_of(inspections: QuerySet[Any]) -> QuerySet[Any]:
    newest_first = ("-inspection__created_at", "-inspection_id", "id")
    return Reading.objects.filter(inspection__in=inspections).order_by(*newest_first)


INSPECTION_READINGS = Table(
    title="Inspection readings",
    columns={
        "Job": lambda reading: _job(reading.inspection.step.installation),
        "Opening": lambda reading: _opening(reading.inspection.step.installation),
        "Step": lambda reading: reading.inspection.step.number,
        "Title": lambda reading: reading.inspection.step.title,
        "Place": lambda reading: reading.place,
        "Unit of the numbers that follow": lambda reading: reading.unit,
        "Reading": lambda reading: reading.value,
        "Lower limit": lambda reading: reading.lower,
        "Upper limit": lambda reading: reading.upper,
        "Standard uncertainty": lambda reading: reading.standard_uncertainty,
        "Probability that it conforms (0 to 1)": lambda reading: reading.probability_conforms,
        "Decision": lambda reading: reading.get_decision_display(),
        "Made": lambda reading: _made(reading.inspection),
        "Inspector": lambda reading: _name(reading.inspection.inspector),
    },
    joined=(f"inspection__step__{JOB}", "inspection__inspector"),
    rows_of=_readings_of,
)
