"""What a certificate records of the fitting: inspections, fixings, gaps, lifts and sashes."""

from collections import Counter
from typing import Any

from installs.models import Fixing, Inspection, Installation, JunctionGap, Reading
from reports.papers.plain import frozen_instrument_facts, instant
from surveys.frozen import InstrumentThen


def fitting_record(installation: Installation) -> dict[str, Any]:
    """Every inspection with its readings; fixings against their plan; gaps and lifts; sashes."""
    beads = installation.beads.filter(put_back_at__isnull=False)
    beads_back = Counter(beads.values_list("leaf", flat=True))
    return {
        "inspections": _inspections(installation),
        "fixings": _fixings(installation),
        "gaps": _gaps(installation),
        "lifts": [
            {"junction": one.junction, "chain": one.chain, "turns": one.turns, "lift": one.lift}
            for one in installation.lifts.order_by("created_at", "id")
        ],
        "sashes": [
            {
                "leaf": sash.leaf,
                "beads_back": beads_back.get(sash.leaf, 0),
                "blocks_set": sash.blocks_set,
                "brace_set": sash.brace_set,
                "glass_marking": sash.glass_marking,
            }
            for sash in installation.sashes.order_by("leaf")
        ],
    }


def _inspections(installation: Installation) -> list[dict[str, Any]]:
    """In the order of the plan; where a step was inspected again, `counts` marks the newest."""
    made = list(
        Inspection.objects.filter(step__installation=installation)
        .select_related("step", "inspector", "instrument")
        .prefetch_related("readings")
        .order_by("step__number", "created_at", "id")
    )
    newest = {inspection.step_id: inspection.pk for inspection in made}
    return [_inspection(i, counts=newest[i.step_id] == i.pk) for i in made]


def _inspection(inspection: Inspection, *, counts: bool) -> dict[str, Any]:
    return {
        "number": inspection.step.number,
        "code": inspection.step.code,
        "title": inspection.step.title,
        "inspector": inspection.inspector.display_name,
        "made_at": instant(inspection.created_at),
        "instrument": _instrument(inspection.measured_with),
        "outcome": inspection.outcome,
        "counts": counts,
        "acknowledged": inspection.acknowledged,
        "count": inspection.count,
        "checks": [
            {"check": words, "in_order": inspection.checks.get(name, False)}
            for name, words in inspection.step.in_order(inspection.step.checks).items()
        ],
        "sealant_class": inspection.sealant_class,
        "return_on": inspection.return_on.isoformat() if inspection.return_on else None,
        "note": inspection.note,
        "readings": [
            _reading(reading, inspection.step.criteria) for reading in inspection.readings.all()
        ],
    }


def _reading(reading: Reading, criteria: dict[str, Any]) -> dict[str, Any]:
    """`measured` lists what was read for it, in the order in which it is read along the frame."""
    names = (
        "place",
        "value",
        "unit",
        "lower",
        "upper",
        "standard_uncertainty",
        "probability_conforms",
        "decision",
    )
    return {name: getattr(reading, name) for name in names} | {
        "measured": [
            {"place": place, "value": reading.measured[place]}
            for place in criteria[reading.place]["of"]
        ]
    }


def _fixings(installation: Installation) -> list[dict[str, Any]]:
    fixed = list(installation.fixings.order_by("position"))
    planned = planned_positions(installation)
    return [
        {
            "member": member,
            "planned": planned.get(member, []),
            "fixed": [
                {"position": f.position, "kind": f.kind, "packers": f.packers}
                for f in fixed
                if f.member == member
            ],
        }
        for member in Fixing.Member.values
    ]


def planned_positions(installation: Installation) -> dict[str, list[int]]:
    """Planned fixings per member, mm from its left or foot end."""
    members = installation.plan.fixing_layout.members
    return {member.name: list(member.positions or ()) for member in members}


def _gaps(installation: Installation) -> list[dict[str, Any]]:
    """Every round, by junction; where one was read again, `counts` marks the newest."""
    read = sorted(installation.gaps.order_by("created_at", "id"), key=lambda gap: gap.junction)
    newest = {gap.junction: gap.pk for gap in read}
    return [_gap(gap) | {"counts": newest[gap.junction] == gap.pk} for gap in read]


def _gap(gap: JunctionGap) -> dict[str, Any]:
    names = (
        "junction",
        "head_gap",
        "sill_gap",
        "standard_uncertainty",
        "limit",
        "probability_conforms",
        "decision",
    )
    return {name: getattr(gap, name) for name in names} | {
        "instrument": _instrument(gap.measured_with)
    }


def _instrument(measured_with: InstrumentThen | None) -> dict[str, Any] | None:
    return frozen_instrument_facts(measured_with) if measured_with else None
