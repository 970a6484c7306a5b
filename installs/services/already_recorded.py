"""What is on record already with the same content: to record it once more is done, not refused.

Each function of a creation takes what its service takes and the time it was done at, locks what it
looks at, and returns the record that says the same, or None. A reading that says the same as before
is a new one where something was worked on in between. Turns of a carrier, changes of packers and
defects are never the same: each adds to what was done before it.
"""

from collections.abc import Callable, Iterable, Mapping
from datetime import datetime
from typing import Any, TypeVar

from django.db.models import Model, QuerySet

from installs.models import (
    Bead,
    Defect,
    Fixing,
    Handover,
    Inspection,
    Installation,
    JunctionGap,
    PlanStep,
    SashRecord,
)
from installs.services.recording import lock_installation
from jobs.models import Job, Record

Values = Mapping[str, Any]
# Of an inspection: its identity, and what the service judged by its evidence.
OWN_TO_AN_INSPECTION = {field.attname for field in Record._meta.fields} | {
    "recorded_at",
    "step_id",
    "inspector_id",
    "measured_with",
    "outcome",
    "count",
    "shortfalls",
    "next_act",
}
R = TypeVar("R", bound=Record)


def same_installation(values: Values, done_at: datetime) -> Installation | None:
    """The plan that the doorset has already, whoever of the crew asked for it."""
    return Installation.objects.filter(doorset=values["doorset"]).first()


def same_inspection(values: Values, done_at: datetime) -> Inspection | None:
    """That of the step next to it in time, where it says the same and nothing was worked on in
    between."""
    step = values["step"]
    installation = lock_installation(step.installation_id)
    worked_on: list[QuerySet[Any]] = []
    if values.get("readings"):
        worked_on = [
            installation.fixings.all(),
            installation.packer_changes.all(),
            installation.lifts.all(),
            installation.sashes.all(),
        ]
    dealt_with = step.defects.filter(version__gt=1)

    def says_the_same(near: Inspection) -> bool:
        # What failed and was put right is read anew, though it may read the same.
        failed = near.outcome != Inspection.Outcome.PASS
        if failed and dealt_with.filter(updated_at__gt=near.created_at).exists():
            return False
        # What arrived last counts: a failure that came after a reading which passed is answered by
        # reading it again, whenever that was done.
        if not failed and _state_of(step) != Inspection.Outcome.PASS:
            return False
        return _says_what(near, values)

    return _repeated(step.inspections.all(), done_at, worked_on, says_the_same)


def _state_of(step: PlanStep) -> str:
    """By the inspection that arrived last."""
    outcomes = step.inspections.order_by("created_at", "id").values_list("outcome", flat=True)
    return outcomes.last() or ""


def same_gap(values: Values, done_at: datetime) -> JunctionGap | None:
    """That of the junction next to it in time, where it says the same and nothing was turned or
    glazed in between."""
    installation = lock_installation(values["installation"].pk)
    gaps = installation.gaps.filter(junction=values["junction"])
    names = ("head_gap", "sill_gap", "instrument", "temperature")
    given = {name: values.get(name) for name in names}
    worked_on: list[QuerySet[Any]] = [installation.lifts.all(), installation.sashes.all()]
    return _repeated(gaps, done_at, worked_on, lambda near: _says(near, given))


def same_fixing(values: Values, done_at: datetime) -> Fixing | None:
    fixings = lock_installation(values["installation"].pk).fixings
    place = {name: values[name] for name in ("member", "position", "kind")}
    return _saying(fixings.filter(**place), values)


def same_sash(values: Values, done_at: datetime) -> SashRecord | None:
    sashes = lock_installation(values["installation"].pk).sashes
    return _saying(sashes.filter(leaf=values["leaf"]), values)


def same_bead(values: Values, done_at: datetime) -> Bead | None:
    beads = lock_installation(values["installation"].pk).beads
    return _saying(beads.filter(leaf=values["leaf"], side=values["side"]), values)


def same_handover(values: Values, done_at: datetime) -> Handover | None:
    job = Job.objects.select_for_update(no_key=True).get(pk=values["job"].pk)
    shown = [(entry["defect"], entry["until"]) for entry in values.get("to_come", ())]
    same = _saying(Handover.objects.filter(job=job), _without(values, "to_come"))
    signed = [(entry["defect"], entry["until"]) for entry in same.to_come] if same else []
    return same if sorted(signed) == sorted(shown) else None


def is_sash_as_changed(sash: SashRecord, values: Values) -> bool:
    return bool(values) and _says(sash, values)


def is_bead_back(bead: Bead, values: Values) -> bool:
    return bool(bead.put_back_at) and _says(bead, values)


def is_put_right_so(defect: Defect, values: Values) -> bool:
    return bool(defect.put_right_at) and defect.put_right_how == values["how"]


def is_reinspected_so(defect: Defect, values: Values) -> bool:
    """Sent back is what it was before, so only what is closed can be closed already."""
    closed = values["accepted"] and bool(defect.closed_at)
    return closed and defect.reinspection_note == values.get("note", "")


def is_left_to_come_so(defect: Defect, values: Values) -> bool:
    said = (defect.to_come_by, defect.to_come_promise)
    return said == (values["until"], values["promise"])


def _without(values: Values, name: str) -> Values:
    return {known: value for known, value in values.items() if known != name}


def _says_what(inspection: Inspection, values: Values) -> bool:
    """Whether its evidence is what the body gives; what the service judged is no part of it."""
    measured: dict[str, float] = {}
    for reading in inspection.readings.all():
        measured |= reading.measured
    if measured != {given.place: given.value for given in values.get("readings", ())}:
        return False
    other = {name: value for name, value in values.items() if name not in ("step", "readings")}
    given = Inspection(**other | {"acknowledged": bool(values.get("acknowledged"))})
    evidence = [field.attname for field in Inspection._meta.concrete_fields]
    return all(
        getattr(given, name) == getattr(inspection, name)
        for name in evidence
        if name not in OWN_TO_AN_INSPECTION
    )


def _saying(records: QuerySet[R], values: Values) -> R | None:
    record = records.first()
    return record if record and _says(record, values) else None


def _says(record: Model, values: Values) -> bool:
    return all(getattr(record, name) == value for name, value in values.items())


def _repeated(
    records: QuerySet[R],
    done_at: datetime,
    worked_on: Iterable[QuerySet[Any]],
    says_the_same: Callable[[R], bool],
) -> R | None:
    """The record just before or after this time that says the same, with no work in between.

    By the times at which all was done: two phones of a crew arrive in any order.
    """
    in_time = sorted(records, key=_time_of)
    earlier = [record for record in in_time if _time_of(record) <= done_at]
    for near in [*earlier[-1:], *in_time[len(earlier) :][:1]]:
        begun, ended = sorted((_time_of(near), done_at))
        worked = (begun < _time_of(work) <= ended for works in worked_on for work in works)
        if says_the_same(near) and not any(worked):
            return near
    return None


def _time_of(record: Any) -> datetime:
    """When it was done last."""
    changed = record.version > 1 or record.recorded_at is None
    time: datetime = record.updated_at if changed else record.recorded_at
    return time
