"""Labels of what a survey recorded besides readings."""

from collections.abc import Callable, Iterator
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from jobs.code_labels import code_label
from jobs.figures import figure
from reports.papers.labels.doorset import Pairs

SIDES = ("left", "right", "head", "sill")
MEASURED_TO = {
    "structural": gettext_noop("structural opening"),
    "finished": gettext_noop("finished opening"),
}

WAY_IN = {
    "passage_width": gettext_noop("narrowest passage {value} mm wide"),
    "passage_height": gettext_noop("lowest ceiling {value} mm"),
    "doorway_width": gettext_noop("narrowest doorway {value} mm wide"),
    "doorway_height": gettext_noop("lowest doorway {value} mm high"),
    "steps": gettext_noop("steps: {value}"),
    "distance": gettext_noop("{value} m from unloading"),
}


def _length(value: float) -> str:
    return f"{figure(value)} mm"


def _yes_or_no(value: bool) -> str:
    return code_label("yes") if value else code_label("no")


def _how_many(value: list[Any]) -> str:
    return str(len(value))


def _choices(value: list[str]) -> str:
    return ", ".join(code_label(choice) for choice in value) or code_label("none")


def _measured_to(value: str) -> str:
    label = MEASURED_TO.get(value)
    return _(label) if label else code_label(value)


def _sides(label: Callable[[Any], str]) -> Callable[[dict[str, Any]], str]:
    """`left brick, right block`, of the sides that were recorded."""
    return lambda value: ", ".join(
        f"{code_label(side)} {label(value[side])}" for side in SIDES if side in value
    )


def way_in_label(value: dict[str, Any]) -> str:
    """What was measured of the way in, in the order in which it is asked for."""
    parts = [
        _(text).format(value=figure(value[name])) for name, text in WAY_IN.items() if name in value
    ]
    if "corners" in value:
        parts.append(_corners(value["corners"]))
    return "; ".join(parts)


def _corners(corners: list[dict[str, float]]) -> str:
    if not corners:
        return _("no corner")
    widths = ", ".join(
        f"{figure(corner['before'])} \N{MULTIPLICATION SIGN} {figure(corner['after'])} mm"
        for corner in corners
    )
    return _("corners of {widths}").format(widths=widths)


def _places(places: list[dict[str, Any]]) -> str:
    return "; ".join(
        _("{what} ({side}) {along} mm from the left, {distance} mm out").format(
            what=code_label(place["obstruction"]),
            side=code_label(place.get("side", "outside")),
            along=figure(place["along"]),
            distance=figure(place["distance"]),
        )
        for place in places
    )


# What is decided for safety and structure first.
CONDITIONS: dict[str, tuple[str, Callable[[Any], str]]] = {
    "asbestos_suspected": (gettext_noop("Asbestos suspected"), _yes_or_no),
    "asbestos_cleared": (gettext_noop("Asbestos cleared by"), str),
    "built": (gettext_noop("Built"), code_label),
    "safety_led_by": (gettext_noop("Safety on site is led by"), code_label),
    "asbestos_papers": (gettext_noop("Photos of that report"), _how_many),
    "outside_drop": (gettext_noop("Ground outside is lower by"), _length),
    "guarding_present": (gettext_noop("Guarding there"), _yes_or_no),
    "lintel_seen": (gettext_noop("Lintel seen"), _yes_or_no),
    "lintel_span": (gettext_noop("Span of the lintel"), _length),
    "head_movement_allowance": (gettext_noop("Movement to allow for at the head"), _length),
    "services_in_reveal": (gettext_noop("Services in the reveal"), _choices),
    "substrate": (gettext_noop("Fixed into"), _sides(code_label)),
    "damp_proof_course": (gettext_noop("Damp-proof course"), code_label),
    "cavity": (gettext_noop("Cavity"), code_label),
    "measured_to": (gettext_noop("Measured to"), _measured_to),
    "allowances": (gettext_noop("Finishes still to come"), _sides(_length)),
    "floor_level_inside": (gettext_noop("Floor inside, above the sill"), _length),
    "floor_level_outside": (gettext_noop("Ground outside, above the sill"), _length),
    "threshold": (gettext_noop("Threshold"), code_label),
    "drainage": (gettext_noop("Drainage"), code_label),
    "ground_fall": (gettext_noop("Ground in front falls"), code_label),
    "reveal_depth": (gettext_noop("Depth of the reveal"), _length),
    "frame_position": (gettext_noop("Frame behind the wall's face"), _length),
    "sill_projection": (gettext_noop("Projection of the sill"), _length),
    "stack_room": (gettext_noop("Room for the folded leaves"), _length),
    "obstructions": (gettext_noop("In the way of the leaves"), _choices),
    "obstruction_places": (gettext_noop("Where it stands"), _places),
    "access": (gettext_noop("Way in for the doorset"), _choices),
    "way_in": (gettext_noop("The way in, measured"), way_in_label),
    "notifiable": (gettext_noop("Notifiable to building control"), code_label),
    "trickle_ventilation_present": (gettext_noop("Background ventilators now"), _yes_or_no),
    "notes": (gettext_noop("Notes"), str),
}


def condition_rows(conditions: dict[str, Any]) -> tuple[Pairs, Pairs]:
    """What was recorded besides readings, as names and values in two columns."""
    rows = list(_recorded(conditions))
    middle = (len(rows) + 1) // 2
    return rows[:middle], rows[middle:]


def _recorded(conditions: dict[str, Any]) -> Iterator[tuple[str, str]]:
    for key, (name, label) in CONDITIONS.items():
        if (value := conditions.get(key)) is not None:
            yield _(name), label(value)
