"""What an operation depends on: what was queued for the same record or the same place."""

from collections.abc import Collection, Iterable
from typing import Any

# As the service's description of `after` names them.
PLACE_FIELDS = ("installation", "opening", "step", "junction", "leaf", "side", "member", "position")
# Kinds that were queued before one of this kind for the same doorset and have to be done before it.
FOLLOWS = {
    "record_gap": ("record_sash", "change_sash"),
    "plan_fitting": ("record_survey",),
}


def before(
    operation: dict[str, Any], queued: Iterable[dict[str, Any]], follows: Collection[str] = ()
) -> list[str]:
    """Ids of the queued operations that come before this one, the newest last. `follows`: further
    kinds that this one is judged by."""
    kinds = {*FOLLOWS.get(operation["kind"], ()), *follows}
    return [
        earlier["id"]
        for earlier in queued
        if earlier["record"] == operation["record"]
        or _is_same_place(earlier["body"], operation["body"])
        or (earlier["kind"] in kinds and _is_same_doorset(earlier["body"], operation["body"]))
    ]


def _is_same_place(one: dict[str, Any], other: dict[str, Any]) -> bool:
    """The doorset alone is no place."""
    places = [{name: body.get(name) for name in PLACE_FIELDS} for body in (one, other)]
    return places[0] == places[1] and any(places[0][name] for name in PLACE_FIELDS[1:])


def _is_same_doorset(one: dict[str, Any], other: dict[str, Any]) -> bool:
    """As far as both of them tell."""
    doorsets = {body["installation"] for body in (one, other) if "installation" in body}
    return len(doorsets) < 2
