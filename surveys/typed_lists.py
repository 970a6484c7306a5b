"""Lists that are typed on one line each, as people write them: corners of a way in, and what stands
in the way of the leaves. Forms and the API read them alike; each complaint is a `ValueError`.
"""

import re
from typing import Any

from django.utils.translation import gettext as _

from jobs.code_labels import code_label
from surveys.choices import OBSTRUCTIONS

PARTS = re.compile(r"[;\n]")
TWO_WIDTHS = re.compile(r"(\d+(?:[.,]\d+)?)\s*[x\u00d7*/]\s*(\d+(?:[.,]\d+)?)")
INSIDE = "inside"


def read_corners(typed: str) -> list[dict[str, float]]:
    """`900 x 1000; 950 x 950`; `0` says that there is none."""
    typed = typed.strip()
    return [] if typed == "0" else [_corner(part.strip()) for part in PARTS.split(typed)]


def corners_as_typed(corners: list[dict[str, Any]]) -> str:
    widths = "; ".join(f"{corner['before']:g} x {corner['after']:g}" for corner in corners)
    return widths or "0"


def _corner(typed: str) -> dict[str, float]:
    match = TWO_WIDTHS.fullmatch(typed)
    if match is None:
        message = _("{typed}: give the clear widths before and after it in mm, such as 900 x 1000")
        raise ValueError(message.format(typed=typed))
    before, after = (float(width.replace(",", ".")) for width in match.groups())
    return {"before": before, "after": after}


def read_places(typed: str) -> list[dict[str, Any]]:
    """One on each line: what, how far along, how far out, how wide, and whether inside, such as
    `downpipe, -150, 40, 110`."""
    return [_place(line.strip()) for line in typed.splitlines() if line.strip()]


def places_as_typed(places: list[dict[str, Any]]) -> str:
    return "\n".join(map(_place_as_typed, places))


def _place(line: str) -> dict[str, Any]:
    what, *rest = (part.strip() for part in line.split(","))
    inside = bool(rest) and rest[-1].lower() in (INSIDE, code_label(INSIDE))
    named = {code_label(code).lower(): code for code in OBSTRUCTIONS}
    obstruction = named.get(what.lower(), what.lower())
    if obstruction not in OBSTRUCTIONS:
        message = _("{typed}: give one of {choices}")
        raise ValueError(message.format(typed=what, choices=", ".join(named)))
    try:
        along, distance, *width = (float(part) for part in (rest[:-1] if inside else rest))
    except ValueError:
        raise _no_place(line) from None
    if len(width) > 1:
        raise _no_place(line)
    place = {"obstruction": obstruction, "along": along, "distance": distance}
    place |= {"width": width[0]} if width else {}
    return place | ({"side": INSIDE} if inside else {})


def _no_place(line: str) -> ValueError:
    message = _("{typed}: give what it is, mm from the left, mm out and mm wide, such as {example}")
    example = f"{code_label('downpipe')}, -150, 40, 110"
    return ValueError(message.format(typed=line, example=example))


def _place_as_typed(place: dict[str, Any]) -> str:
    lengths = (place[name] for name in ("along", "distance", "width") if name in place)
    inside = [code_label(INSIDE)] if place.get("side") == INSIDE else []
    return ", ".join([code_label(place["obstruction"]), *(f"{one:g}" for one in lengths), *inside])
