"""What a certificate records of one opening: its doorset as ordered, measured and delivered."""

from typing import Any

from jobs.elevations import elevation_of
from jobs.models import Delivery, Doorset, Opening
from reports.papers.fitting_record import fitting_record
from reports.papers.plain import instant
from reports.papers.survey_record import survey_records


def doorset_record(opening: Opening) -> dict[str, Any]:
    """The record of the opening's current doorset, which has been fitted."""
    doorset = opening.doorsets.current().select_related("profile_system").get()
    worked_out = doorset.calculation
    return {
        "opening": {"number": opening.number, "name": opening.name},
        "order": order_facts(doorset),
        "elevation": elevation_of(doorset),
        "glazing": doorset.glazing,
        "thermal": worked_out.thermal,
        "upstand": worked_out.upstand,
        "mass": worked_out.mass,
        "frame_mass": worked_out.frame_mass,
        "safety_glazing": worked_out.safety_glazing,
        "leaves": worked_out.leaves,
        "delivery": delivery_facts(doorset),
        "surveys": survey_records(doorset),
        **fitting_record(doorset.installation),
    }


def order_facts(doorset: Doorset) -> dict[str, Any]:
    """What was ordered, but for the glass."""
    names = (
        "revision",
        "fold",
        "opens",
        "head_fixing",
        "colour_inside",
        "colour_outside",
        "handle",
        "threshold",
        "ventilator",
        "keyed_alike",
    )
    return {name: getattr(doorset, name) for name in names} | {
        "frame": {"width": doorset.frame_width, "height": doorset.frame_height},
        "profile_system": doorset.profile_system.name,
        "ordered_at": instant(doorset.ordered_at),
    }


def delivery_facts(doorset: Doorset) -> dict[str, Any] | None:
    """The newest delivery that was accepted."""
    delivery: Delivery | None = doorset.deliveries.filter(accepted=True).first()
    if delivery is None:
        return None
    return {
        "delivered_on": delivery.delivered_on.isoformat(),
        "frame": {"width": delivery.frame_width, "height": delivery.frame_height},
        "leaves_counted": delivery.leaves_counted,
    }
