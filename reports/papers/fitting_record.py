"""What a certificate records of the fitting: inspections, fixings, gaps, lifts and sashes."""

from collections import Counter
from typing import Any

from msgspec import UNSET, UnsetType

from installs.arithmetic.criteria import PlacedValue
from installs.arithmetic.sealing_conditions import dew_point
from installs.models import Fixing, Inspection, Installation, JunctionGap, Reading
from jobs.frozen import part_of
from reports.papers.frozen.fitting import (
    CheckFacts,
    FittingFacts,
    FixingFacts,
    GapFacts,
    InspectionFacts,
    InspectionReading,
    LiftFacts,
    MemberFixings,
    PackerChangeFacts,
    SashFacts,
    SealedAt,
)
from reports.papers.frozen.job import InstrumentFacts
from reports.papers.plain import instant, instrument_facts
from surveys.frozen import InstrumentThen


def fitting_record(installation: Installation) -> FittingFacts:
    """Every inspection with its readings; fixings against their plan; gaps and lifts; sashes."""
    lifts = installation.lifts.order_by("created_at", "id")
    return FittingFacts(
        inspections=_inspections(installation),
        fixings=_fixings(installation),
        gaps=_gaps(installation),
        packer_changes=_packer_changes(installation),
        lifts=tuple(part_of(LiftFacts, lift) for lift in lifts),
        sashes=_sashes(installation),
    )


def _inspections(installation: Installation) -> tuple[InspectionFacts, ...]:
    """In the order of the plan; where a step was inspected again, `counts` marks the newest."""
    made = list(
        Inspection.objects.filter(step__installation=installation)
        .select_related("step", "inspector", "instrument")
        .prefetch_related("readings")
        .order_by("step__number", "created_at", "id")
    )
    newest = {inspection.step_id: inspection.pk for inspection in made}
    return tuple(_inspection(i, counts=newest[i.step_id] == i.pk) for i in made)


def _inspection(inspection: Inspection, *, counts: bool) -> InspectionFacts:
    step = inspection.step
    return InspectionFacts(
        number=step.number,
        code=step.code,
        title=step.title,
        inspector=inspection.inspector.display_name,
        made_at=instant(inspection.created_at),
        instrument=_instrument(inspection.measured_with),
        outcome=inspection.outcome,
        counts=counts,
        acknowledged=inspection.acknowledged,
        count=inspection.count,
        checks=tuple(
            CheckFacts(words, inspection.checks.get(name, False))
            for name, words in step.in_order(step.checks).items()
        ),
        sealant_class=inspection.sealant_class,
        return_on=inspection.return_on.isoformat() if inspection.return_on else None,
        lifted_with=inspection.lifted_with,
        note=inspection.note,
        shortfalls=tuple(why for whys in inspection.shortfalls.values() for why in whys),
        readings=tuple(_reading(reading, step.criteria) for reading in inspection.readings.all()),
        sealed=_sealed(inspection),
    )


def _sealed(inspection: Inspection) -> SealedAt | UnsetType:
    air, humidity = inspection.air_temperature, inspection.relative_humidity
    surface, use_by = inspection.surface_temperature, inspection.sealant_use_by
    if surface is None and use_by is None:
        return UNSET
    return SealedAt(
        surface=surface,
        dew_point=None if air is None or humidity is None else round(dew_point(air, humidity), 1),
        use_by=use_by.isoformat() if use_by else None,
    )


def _reading(reading: Reading, criteria: dict[str, Any]) -> InspectionReading:
    return InspectionReading(
        place=reading.place,
        value=reading.value,
        unit=reading.unit,
        lower=reading.lower,
        upper=reading.upper,
        standard_uncertainty=reading.standard_uncertainty,
        probability_conforms=reading.probability_conforms,
        decision=reading.decision,
        measured=tuple(
            PlacedValue(place, reading.measured[place]) for place in criteria[reading.place]["of"]
        ),
    )


def _fixings(installation: Installation) -> tuple[MemberFixings, ...]:
    fixed = list(installation.fixings.order_by("position"))
    planned = planned_positions(installation)
    return tuple(
        MemberFixings(
            member=member,
            planned=tuple(planned.get(member, ())),
            fixed=tuple(part_of(FixingFacts, f) for f in fixed if f.member == member),
        )
        for member in Fixing.Member.values
    )


def _packer_changes(installation: Installation) -> tuple[PackerChangeFacts, ...]:
    """In the order in which they were made."""
    made = installation.packer_changes.select_related("fitter").order_by("created_at", "id")
    return tuple(
        PackerChangeFacts(
            member=change.member,
            position=change.position,
            added=tuple(change.added),
            taken=tuple(change.taken),
            fitter=change.fitter.display_name,
            made_at=instant(change.created_at),
        )
        for change in made
    )


def planned_positions(installation: Installation) -> dict[str, list[int]]:
    """Planned fixings per member, mm from its left or foot end."""
    members = installation.plan.fixing_layout.members
    return {member.name: list(member.positions or ()) for member in members}


def _gaps(installation: Installation) -> tuple[GapFacts, ...]:
    """Every round, by junction; where one was read again, `counts` marks the newest."""
    read = sorted(installation.gaps.order_by("created_at", "id"), key=lambda gap: gap.junction)
    newest = {gap.junction: gap.pk for gap in read}
    return tuple(_gap(gap, counts=newest[gap.junction] == gap.pk) for gap in read)


def _gap(gap: JunctionGap, *, counts: bool) -> GapFacts:
    return GapFacts(
        junction=gap.junction,
        head_gap=gap.head_gap,
        sill_gap=gap.sill_gap,
        standard_uncertainty=gap.standard_uncertainty,
        limit=gap.limit,
        probability_conforms=gap.probability_conforms,
        decision=gap.decision,
        instrument=_instrument(gap.measured_with),
        counts=counts,
        leaf_gap=gap.leaf_gap,
        together_limit=gap.together_limit,
    )


def _sashes(installation: Installation) -> tuple[SashFacts, ...]:
    beads = installation.beads.filter(put_back_at__isnull=False)
    beads_back = Counter(beads.values_list("leaf", flat=True))
    return tuple(
        SashFacts(
            leaf=sash.leaf,
            beads_back=beads_back.get(sash.leaf, 0),
            blocks_set=sash.blocks_set,
            brace_set=sash.brace_set,
            glass_marking=sash.glass_marking,
        )
        for sash in installation.sashes.order_by("leaf")
    )


def _instrument(measured_with: InstrumentThen | None) -> InstrumentFacts | None:
    return instrument_facts(measured_with) if measured_with else None
