"""A whole day of fitting as a phone would queue it, and what is on record after it was sent."""

from collections.abc import Iterator
from dataclasses import asdict
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID, uuid5

from django.utils import timezone

from installs.models import (
    Bead,
    CarrierLift,
    Defect,
    Fixing,
    Handover,
    Inspection,
    Installation,
    JunctionGap,
    PackerChange,
    PlanStep,
    Reading,
    SashRecord,
    SyncOperation,
)
from jobs.models import JournalEntry
from surveys.models import Instrument
from tests import walker

Operation = dict[str, Any]
QUEUE = UUID("6f1c7c1e-7a3e-4f0e-9a57-0d5b2f6f8a10")
# What the service notes of itself, and what its own clock says.
SERVER_MADE = {
    "created_at",
    "updated_at",
    "received_at",
    "put_right_at",
    "put_back_at",
    "reinspected_at",
    "closed_at",
    "seal_key",
}


def made(name: str) -> str:
    """An id that is the same whenever the session is built anew."""
    return str(uuid5(QUEUE, name))


class Queue:
    """Operations in the order in which they were done, a minute apart, until now."""

    def __init__(self, begun: datetime | None = None) -> None:
        self.begun = begun or timezone.now() - timedelta(hours=3)
        self.operations: list[Operation] = []

    def add(
        self, kind: str, record: str, base_version: int | None = None, /, **body: Any
    ) -> Operation:
        number = len(self.operations)
        done_at = self.begun + timedelta(minutes=number)
        operation = {
            "id": made(f"operation {number}"),
            "kind": kind,
            "record": record,
            "base_version": base_version,
            "made_at": done_at.astimezone(UTC).isoformat(),
            "after": self.operations[-1]["id"] if self.operations else None,
            "body": body,
        }
        self.operations.append(operation)
        return operation


def whole_session(
    installation: Installation, instrument: Instrument, queue: Queue, until: str = ""
) -> list[Operation]:
    """Every step of the plan and all that is recorded beside them, up to the handover.

    Whether the frame is square is in doubt at first, and packers are changed; a bead is scratched,
    which is reported and put right, and a handle, which is left to come; one junction is read
    twice, and a carrier turned in between; one sash is recorded unfinished and completed later.
    `until` names the step to stop before.
    """
    for step in walker.steps_before(installation, until or "handover"):
        if step.code == "diagonals":
            _out_of_square_at_first(queue, step, instrument)
            _scratched(queue, installation)
            _left_to_come(queue, installation)
        if step.code == "running_gear":
            _uneven_at_first(queue, installation, instrument)
        for entry in walker.entries(step):
            _queue_entry(queue, entry, instrument)
    if not until:
        _hand_over(queue, installation)
    return queue.operations


def evidence(step: PlanStep, instrument: Instrument, **readings: float) -> dict[str, Any]:
    """The body of an inspection with all of it in order, save the `readings` that are named."""
    body = {"step": str(step.pk)} | walker.evidence(step, **readings)
    if "readings" in body:
        body["instrument"] = str(instrument.pk)
        body["readings"] = [asdict(reading) for reading in body["readings"]]
    return body


def _queue_entry(queue: Queue, entry: walker.Entry, instrument: Instrument) -> None:
    kind, place = entry.kind, entry.place
    record = made(f"{kind} {len(queue.operations)}")
    if kind == "inspect_step":
        queue.add(kind, record, **evidence(entry.subject, instrument))
    elif kind == "put_bead_back":
        queue.add(kind, made(_bead(**place)), 1, **place)
    elif kind == "take_bead_off":
        body = {"installation": str(entry.subject.pk), "number": _bead(**place)}
        queue.add(kind, made(_bead(**place)), **body, **place)
    elif kind == "record_gap":
        _gap(queue, entry.subject, instrument, temperature=12, **place)
    elif kind == "record_fixing":
        queue.add(kind, record, installation=str(entry.subject.pk), **place, **walker.FIXING)
    elif kind == "record_sash":
        _sash(queue, entry.subject, **place)


def _bead(leaf: int, side: str) -> str:
    """What is written on a bead."""
    return f"{leaf}{side[0]}"


def _out_of_square_at_first(queue: Queue, step: PlanStep, instrument: Instrument) -> None:
    doubtful = made("out of square")
    queue.add("inspect_step", doubtful, **evidence(step, instrument, rising=2002, falling=2000))
    queue.add(
        "change_packers",
        made("eased"),
        installation=str(step.installation_id),
        member="left",
        position=step.installation.plan.fixing_layout.member("left").positions[-1],
        added=[3, 2],
        taken=[8],
    )


def _scratched(queue: Queue, installation: Installation) -> None:
    defect = made("scratch")
    queue.add(
        "report_defect",
        defect,
        installation=str(installation.pk),
        place="sash 2",
        severity="minor",
        description="Scratch on a bead",
    )
    _put_right(queue, defect, how="bead replaced")


def _left_to_come(queue: Queue, installation: Installation) -> None:
    mark = made("mark")
    queue.add(
        "report_defect",
        mark,
        installation=str(installation.pk),
        severity="minor",
        description="Mark on a handle",
    )
    promise = "The handle is replaced when the new one has come."
    queue.add("leave_defect_to_come", mark, 1, until=_until(queue), promise=promise)


def _until(queue: Queue) -> str:
    return (queue.begun + timedelta(days=20)).date().isoformat()


def _put_right(queue: Queue, defect: str, *, how: str) -> None:
    queue.add("put_defect_right", defect, 1, how=how)
    queue.add("reinspect_defect", defect, 2, accepted=True)


def _uneven_at_first(queue: Queue, installation: Installation, instrument: Instrument) -> None:
    """One junction, and half a turn of the first carrier, where the doorset has one."""
    _gap(queue, installation, instrument, installation.plan.junctions[1].number, head_gap=6)
    carriers = [
        (chain.jamb, place.junction)
        for chain in installation.plan.running_gear.chains
        for place in chain.places
        if place.support == "carrier"
    ]
    for chain, junction in carriers[:1]:
        queue.add(
            "record_lift",
            made("turn"),
            installation=str(installation.pk),
            junction=junction,
            chain=chain,
            turns=0.5,
        )


def _gap(
    queue: Queue,
    installation: Installation,
    instrument: Instrument,
    junction: int,
    **otherwise: float,
) -> None:
    queue.add(
        "record_gap",
        made(f"gap {len(queue.operations)}"),
        installation=str(installation.pk),
        instrument=str(instrument.pk),
        junction=junction,
        **(walker.GAP | otherwise),
    )


def _sash(queue: Queue, installation: Installation, leaf: int) -> None:
    """The first one is recorded before its glass is marked."""
    marking = {"glass_marking": ""} if leaf == 1 else {}
    body = {"installation": str(installation.pk), "leaf": leaf, **(walker.SASH | marking)}
    record = queue.add("record_sash", made(f"sash {leaf}"), **body)["record"]
    if marking:
        queue.add("change_sash", record, 1, glass_marking=walker.SASH["glass_marking"])


def _hand_over(queue: Queue, installation: Installation) -> None:
    queue.add(
        "hand_over",
        made("handover"),
        job=str(installation.job.pk),
        customer_name="Customer Example",
        keys={str(installation.pk): 3},
        demonstrated=True,
        care_given=True,
        unsigned_because="Signed on paper",
        to_come=[{"defect": made("mark"), "until": _until(queue)}],
    )


def on_record() -> dict[str, Any]:
    """Everything that the session leaves, in the order in which it was recorded."""
    records: dict[str, Any] = {
        model.__name__: [
            {name: value for name, value in row.items() if name not in SERVER_MADE}
            for row in model.objects.order_by(order).values()
        ]
        for model, order in (
            (Inspection, "created_at"),
            (Fixing, "created_at"),
            (JunctionGap, "created_at"),
            (SashRecord, "created_at"),
            (Bead, "created_at"),
            (CarrierLift, "created_at"),
            (PackerChange, "created_at"),
            (Defect, "created_at"),
            (Handover, "created_at"),
            (SyncOperation, "received_at"),
        )
    }
    records["Reading"] = list(_readings())
    records["journal"] = list(
        JournalEntry.objects.order_by("stream", "number").values_list("type", "record_id")
    )
    return records


def _readings() -> Iterator[dict[str, Any]]:
    for row in Reading.objects.order_by("inspection__created_at", "place").values():
        yield {name: value for name, value in row.items() if name != "id"}
