"""A whole day of fitting as a phone would queue it, and what is on record after it was sent."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID, uuid5

from django.utils import timezone

from installs.arithmetic.criteria import places_to_read
from installs.models import (
    Bead,
    CarrierLift,
    Defect,
    Fixing,
    Handover,
    Inspection,
    Installation,
    JunctionGap,
    PlanStep,
    Reading,
    SashRecord,
    SyncOperation,
)
from installs.services.inspecting import criteria_of
from jobs.models import JournalEntry
from surveys.models import Instrument

Operation = dict[str, Any]
QUEUE = UUID("6f1c7c1e-7a3e-4f0e-9a57-0d5b2f6f8a10")
SASH = {"blocks_set": True, "brace_set": True}
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

    The frame is out of square at first, which opens a defect; a bead is scratched, which is
    reported; one junction is read twice, and a carrier turned in between; one sash is recorded
    unfinished and completed later. `until` names the step to stop before.
    """
    for step in installation.steps.order_by("number"):
        if until == step.code or step.phase == PlanStep.Phase.HANDOVER:
            break
        _before(queue, installation, instrument, step)
        queue.add("inspect_step", made(step.code), **evidence(step, instrument))
    if not until:
        _hand_over(queue, installation)
    return queue.operations


def evidence(step: PlanStep, instrument: Instrument, **otherwise: float) -> dict[str, Any]:
    """The body of an inspection with all of it in order, save what is given otherwise."""
    body: dict[str, Any] = {"step": str(step.pk)}
    if places := places_to_read(criteria_of(step)):
        body["instrument"] = str(instrument.pk)
        sound = {place: max(0.0, criterion.lowest) for place, criterion in places.items()}
        body["readings"] = [
            {"place": place, "value": value} for place, value in (sound | otherwise).items()
        ]
    if step.checks:
        body["checks"] = dict.fromkeys(step.checks, True)
    if "acknowledgement" in step.evidence:
        body["acknowledged"] = True
    if step.code == "seal":
        body["sealant_class"] = 25
    return body


def _before(
    queue: Queue, installation: Installation, instrument: Instrument, step: PlanStep
) -> None:
    if step.code == "beads_off":
        _beads_off(queue, installation)
    if step.code == "beads_back":
        _beads_back(queue, installation)
    if step.code == "diagonals":
        _out_of_square_at_first(queue, step, instrument)
        _scratched(queue, installation)
    if step.code == "bow":
        _fixings(queue, installation)
    if step.code == "running_gear":
        _gaps(queue, installation, instrument)
        _sashes(queue, installation)
    if step.code == "gaps_again":
        _even_gaps(queue, installation, instrument)


def _out_of_square_at_first(queue: Queue, step: PlanStep, instrument: Instrument) -> None:
    failed = made("out of square")
    queue.add("inspect_step", failed, **evidence(step, instrument, rising=2040, falling=2000))
    _put_right(queue, str(uuid5(UUID(failed), "defect")), how="eased at the head")


def _scratched(queue: Queue, installation: Installation) -> None:
    defect = made("scratch")
    queue.add(
        "report_defect",
        defect,
        installation=str(installation.pk),
        severity="minor",
        description="Scratch on a bead",
    )
    _put_right(queue, defect, how="bead replaced")


def _put_right(queue: Queue, defect: str, *, how: str) -> None:
    queue.add("put_defect_right", defect, 1, how=how)
    queue.add("reinspect_defect", defect, 2, accepted=True)


def _beads_off(queue: Queue, installation: Installation) -> None:
    for leaf in installation.plan.leaves:
        for side in Bead.Side.values:
            queue.add(
                "take_bead_off",
                made(f"bead {leaf.number} {side}"),
                installation=str(installation.pk),
                number=f"{leaf.number}{side[0]}",
                leaf=leaf.number,
                side=side,
            )


def _beads_back(queue: Queue, installation: Installation) -> None:
    for leaf in installation.plan.leaves:
        for side in Bead.Side.values:
            bead = made(f"bead {leaf.number} {side}")
            queue.add("put_bead_back", bead, 1, leaf=leaf.number, side=side)


def _fixings(queue: Queue, installation: Installation) -> None:
    for member in installation.plan.fixing_layout.members:
        for position in member.positions:
            queue.add(
                "record_fixing",
                made(f"{member.name} {position}"),
                installation=str(installation.pk),
                member=member.name,
                position=position,
                kind="frame_screw",
                packers=[5],
            )


def _gaps(queue: Queue, installation: Installation, instrument: Instrument) -> None:
    junctions = [junction.number for junction in installation.plan.junctions]
    _gap(queue, installation, instrument, junctions[1], number=1, head_gap=6)
    _turn(queue, installation)
    for junction in junctions:
        _gap(queue, installation, instrument, junction, number=2, head_gap=4)


def _turn(queue: Queue, installation: Installation) -> None:
    """Half a turn of the first carrier, where the doorset has one."""
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


def _even_gaps(queue: Queue, installation: Installation, instrument: Instrument) -> None:
    for junction in installation.plan.junctions:
        _gap(queue, installation, instrument, junction.number, number=3, head_gap=4)


def _gap(
    queue: Queue, installation: Installation, instrument: Instrument, junction: int, **told: float
) -> None:
    """`told`: the number of the round and the head gap, mm."""
    head_gap = told["head_gap"]
    queue.add(
        "record_gap",
        made(f"gap {told['number']} {junction}"),
        installation=str(installation.pk),
        instrument=str(instrument.pk),
        junction=junction,
        head_gap=head_gap,
        sill_gap=4,
    )


def _sashes(queue: Queue, installation: Installation) -> None:
    for leaf in installation.plan.leaves:
        marking = "" if leaf.number == 1 else "EN 12150-1"
        queue.add(
            "record_sash",
            made(f"sash {leaf.number}"),
            installation=str(installation.pk),
            leaf=leaf.number,
            glass_marking=marking,
            **SASH,
        )
    queue.add("change_sash", made("sash 1"), 1, glass_marking="EN 12150-1")


def _hand_over(queue: Queue, installation: Installation) -> None:
    queue.add(
        "hand_over",
        made("handover"),
        job=str(installation.job.pk),
        customer_name="Customer Example",
        keys={str(installation.pk): 3},
        demonstrated=True,
        care_given=True,
    )


def on_record() -> dict[str, Any]:
    """Everything that the session leaves, in the order in which it was recorded."""
    told: dict[str, Any] = {
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
            (Defect, "created_at"),
            (Handover, "created_at"),
            (SyncOperation, "received_at"),
        )
    }
    told["Reading"] = list(_readings())
    told["journal"] = list(
        JournalEntry.objects.order_by("stream", "number").values_list("type", "record_id")
    )
    return told


def _readings() -> Iterator[dict[str, Any]]:
    for row in Reading.objects.order_by("inspection__created_at", "place").values():
        yield {name: value for name, value in row.items() if name != "id"}
