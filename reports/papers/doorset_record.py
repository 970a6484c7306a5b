"""What a certificate records of one opening: its doorset as ordered, measured and delivered."""

from dataclasses import replace

from msgspec import convert

from jobs.arithmetic.requirements import Requirement
from jobs.elevations import elevation_of
from jobs.frozen import extended
from jobs.models import Delivery, Doorset, Opening
from jobs.services.doorset_rules import requirements_of
from reports.papers.fitting_record import fitting_record
from reports.papers.frozen.doorset import DeliveryFacts, FittedDoorset, GlazingFacts, OrderFacts
from reports.papers.plain import instant, opening_facts
from reports.papers.survey_record import survey_records
from surveys.arithmetic.answers import WholeSize


def doorset_record(opening: Opening) -> FittedDoorset:
    """The record of the opening's current doorset, which has been fitted."""
    doorset = opening.doorsets.current().select_related("profile_system").get()
    worked_out = doorset.calculation
    return extended(
        FittedDoorset,
        fitting_record(doorset.installation),
        opening=opening_facts(opening),
        order=order_facts(doorset),
        elevation=elevation_of(doorset),
        glazing=convert(doorset.glazing, GlazingFacts),
        thermal=worked_out.thermal,
        upstand=worked_out.upstand,
        requirements=tuple(map(_plain, requirements_of(doorset))),
        mass=worked_out.mass,
        frame_mass=worked_out.frame_mass,
        safety_glazing=worked_out.safety_glazing,
        leaves=worked_out.leaves,
        delivery=delivery_facts(doorset),
        surveys=survey_records(doorset),
    )


def _plain(requirement: Requirement) -> Requirement:
    """With plain text for its sentences, as what was frozen before has it."""
    return replace(requirement, why=str(requirement.why), source=str(requirement.source))


def order_facts(doorset: Doorset) -> OrderFacts:
    """What was ordered, but for the glass."""
    return OrderFacts(
        revision=doorset.revision,
        fold=doorset.fold,
        opens=doorset.opens,
        head_fixing=doorset.head_fixing,
        colour_inside=doorset.colour_inside,
        colour_outside=doorset.colour_outside,
        handle=doorset.handle,
        threshold=doorset.threshold,
        ventilator=doorset.ventilator,
        keyed_alike=doorset.keyed_alike,
        frame=WholeSize(doorset.frame_width, doorset.frame_height),
        profile_system=doorset.profile_system.name,
        ordered_at=instant(doorset.ordered_at),
    )


def delivery_facts(doorset: Doorset) -> DeliveryFacts | None:
    """The newest delivery that was accepted."""
    delivery: Delivery | None = doorset.deliveries.filter(accepted=True).first()
    if delivery is None:
        return None
    return DeliveryFacts(
        delivered_on=delivery.delivered_on.isoformat(),
        frame=WholeSize(delivery.frame_width, delivery.frame_height),
        leaves_counted=delivery.leaves_counted,
        declaration=delivery.declaration,
    )
