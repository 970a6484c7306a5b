"""The columns of the tables of fixings, packer changes, gaps, defects and inspections."""

from typing import Any

from django.db.models import QuerySet
from django.utils.translation import gettext_noop as _

from installs.models import Installation, Reading
from installs.services.still_to_come import until_of
from jobs.code_labels import code_label
from jobs.models import Person
from jobs.table_file import Table, moment
from jobs.translation import translated


def _job(installation: Installation) -> str:
    return installation.job.reference


def _opening(installation: Installation) -> str:
    return installation.doorset.opening.name


def _made(record: Any) -> str:
    """On site, which may be long before it was sent."""
    return moment(record.recorded_at or record.created_at)


def _name(person: Person | None) -> str:
    return person.display_name if person else ""


def _yes(true: bool) -> str:
    return code_label("yes") if true else ""


def _pieces(packers: list[float]) -> str:
    """Thicknesses in mm, in the order of the stack."""
    return " + ".join(f"{thickness:g}" for thickness in packers)


JOB = "installation__doorset__opening__job"

FIXINGS = Table(
    title=_("Fixings"),
    columns={
        _("Job"): lambda fixing: _job(fixing.installation),
        _("Opening"): lambda fixing: _opening(fixing.installation),
        _("Member"): lambda fixing: fixing.get_member_display(),
        _("Position from the left or foot end (mm)"): lambda fixing: fixing.position,
        _("Kind"): lambda fixing: fixing.get_kind_display(),
        _("Packers (mm each)"): lambda fixing: _pieces(fixing.packers),
        _("Made"): _made,
        _("Fitter"): lambda fixing: _name(fixing.fitter),
    },
    joined=(JOB, "fitter"),
)

PACKER_CHANGES = Table(
    title=_("Packer changes"),
    columns={
        _("Job"): lambda change: _job(change.installation),
        _("Opening"): lambda change: _opening(change.installation),
        _("Member"): lambda change: change.get_member_display(),
        _("Position from the left or foot end (mm)"): lambda change: change.position,
        _("Taken out (mm each)"): lambda change: _pieces(change.taken),
        _("Added (mm each)"): lambda change: _pieces(change.added),
        _("Change of the stack (mm)"): lambda change: change.change,
        _("Made"): _made,
        _("Fitter"): lambda change: _name(change.fitter),
    },
    joined=(JOB, "fitter"),
)

JUNCTION_GAPS = Table(
    title=_("Junction gaps"),
    columns={
        _("Job"): lambda gap: _job(gap.installation),
        _("Opening"): lambda gap: _opening(gap.installation),
        _("Junction"): lambda gap: gap.junction,
        _("Gap at the head (mm)"): lambda gap: gap.head_gap,
        _("Gap at the sill (mm)"): lambda gap: gap.sill_gap,
        _("Greatest difference (mm)"): lambda gap: gap.limit,
        _("Leaf gap (mm)"): lambda gap: gap.leaf_gap,
        _("Both together, off twice the leaf gap at most (mm)"): lambda gap: gap.together_limit,
        _("Temperature of the leaves (C)"): lambda gap: gap.temperature,
        _("Standard uncertainty of the difference (mm)"): lambda gap: gap.standard_uncertainty,
        _("Probability that it conforms (0 to 1)"): lambda gap: gap.probability_conforms,
        _("Decision"): lambda gap: code_label(gap.decision),
        _("Made"): _made,
        _("Fitter"): lambda gap: _name(gap.fitter),
    },
    joined=(JOB, "fitter"),
)

DEFECTS = Table(
    title=_("Defects"),
    columns={
        _("Job"): lambda defect: _job(defect.installation),
        _("Opening"): lambda defect: _opening(defect.installation),
        _("Place"): lambda defect: defect.place_label,
        _("Severity"): lambda defect: defect.get_severity_display(),
        _("Description"): lambda defect: defect.description,
        _("Put right by whom"): lambda defect: defect.get_responsible_display(),
        _("Found"): _made,
        _("Found by"): lambda defect: _name(defect.found_by),
        _("Put right"): lambda defect: moment(defect.put_right_at),
        _("Put right by"): lambda defect: _name(defect.put_right_by),
        _("How"): lambda defect: defect.put_right_how,
        _("Looked at again"): lambda defect: moment(defect.reinspected_at),
        _("Looked at again by"): lambda defect: _name(defect.reinspected_by),
        _("Note"): lambda defect: defect.reinspection_note,
        _("Closed"): lambda defect: moment(defect.closed_at),
        _("Closed on evidence"): lambda defect: _yes(defect.was_closed_on_evidence),
        _("Still to come by"): until_of,
        _("What the customer accepts"): lambda defect: defect.to_come_promise,
        _("Found after the handover"): lambda defect: _yes(defect.found_after_id is not None),
    },
    joined=(JOB, "found_by", "put_right_by", "reinspected_by"),
)


def _readings_of(inspections: QuerySet[Any]) -> QuerySet[Any]:
    newest_first = ("-inspection__created_at", "-inspection_id", "id")
    return Reading.objects.filter(inspection__in=inspections).order_by(*newest_first)


INSPECTION_READINGS = Table(
    title=_("Inspection readings"),
    columns={
        _("Job"): lambda reading: _job(reading.inspection.step.installation),
        _("Opening"): lambda reading: _opening(reading.inspection.step.installation),
        _("Step"): lambda reading: reading.inspection.step.number,
        _("Title"): lambda reading: translated(reading.inspection.step.title),
        _("Place"): lambda reading: code_label(reading.place),
        _("Unit of the numbers that follow"): lambda reading: translated(reading.unit),
        _("Reading"): lambda reading: reading.value,
        _("Lower limit"): lambda reading: reading.lower,
        _("Upper limit"): lambda reading: reading.upper,
        _("Standard uncertainty"): lambda reading: reading.standard_uncertainty,
        _("Probability that it conforms (0 to 1)"): lambda reading: reading.probability_conforms,
        _("Decision"): lambda reading: reading.get_decision_display(),
        _("Made"): lambda reading: _made(reading.inspection),
        _("Inspector"): lambda reading: _name(reading.inspection.inspector),
    },
    joined=(f"inspection__step__{JOB}", "inspection__inspector"),
    rows_of=_readings_of,
)
