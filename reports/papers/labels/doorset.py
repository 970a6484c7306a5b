"""The record of a doorset put into words: what the paper shows beside the bare figures. Pure."""

from collections.abc import Iterable
from typing import Any

from jobs.code_labels import code_label
from jobs.figures import day, figure

Pairs = list[tuple[str, str]]


def order_in_words(doorset: dict[str, Any]) -> Pairs:
    """What was ordered and what came, as names and values."""
    order, delivery = doorset["order"], doorset["delivery"]
    rows = [
        ("Fold", f"{order['fold']}, opening {order['opens']}wards"),
        ("System", order["profile_system"]),
        ("Colours", f"{order['colour_inside']} inside, {order['colour_outside']} outside"),
        ("Handle", order["handle"] + (", keyed alike" if order["keyed_alike"] else "")),
        ("Threshold", _threshold(doorset)),
        ("Ventilator", order["ventilator"]),
        ("Head fixing", HEAD_FIXINGS.get(order["head_fixing"], "")),
        ("Ordered", f"{day(order['ordered_at'])}, revision {order['revision']}"),
    ]
    if delivery:
        size = size_in_words(delivery["frame"])
        rows.append(("Delivered", f"{day(delivery['delivered_on'])}, measured {size}"))
    return [(name, value) for name, value in rows if value]


HEAD_FIXINGS = {
    "through_track": "countersunk through the track",
    "in_channel": "in the channel behind the removable track",
}


def _threshold(doorset: dict[str, Any]) -> str:
    upstand = doorset["upstand"]
    if not upstand:
        return str(doorset["order"]["threshold"])
    kept = "" if upstand["within"] else f", over {figure(upstand['limit'])} mm"
    return f"{doorset['order']['threshold']}, upstand {figure(upstand['value'])} mm{kept}"


def size_in_words(size: dict[str, Any]) -> str:
    return f"{figure(size['width'])} \N{MULTIPLICATION SIGN} {figure(size['height'])} mm"


def glass_in_words(doorset: dict[str, Any]) -> Pairs:
    """Glass, transmittance and mass as names and values."""
    thermal = doorset["thermal"]
    limit = f"; limit {figure(thermal['limit'])}" if thermal["limit"] else ""
    return [
        ("Glass", " / ".join(_layer(layer) for layer in doorset["glazing"]["layers"])),
        ("U glass", f"{figure(thermal['u_glass'])} W/(m²K), {_source_of_u_glass(doorset)}"),
        (
            "U doorset",
            f"{figure(thermal['u_value_reported'])} W/(m²K), EN ISO 10077-1{limit}",
        ),
        (
            "Mass",
            f"{figure(doorset['mass'])} kg, of which frame {figure(doorset['frame_mass'])} kg",
        ),
    ]


def _source_of_u_glass(doorset: dict[str, Any]) -> str:
    return "declared" if doorset["glazing"].get("u_glass") else "EN 673"


def _layer(layer: dict[str, Any]) -> str:
    if "glass" in layer:
        kind = layer.get("safety", "none")
        words = "" if kind == "none" else f" {kind}"
        return f"{figure(layer['glass'])} mm{words}{', coated' if 'emissivity' in layer else ''}"
    shares = sorted(layer.get("gas", {}).items(), key=lambda gas: -gas[1])
    gas = [f"{name} {100 * share:.0f} %" for name, share in shares]
    return f"{figure(layer['cavity'])} mm {' and '.join(gas) or 'air'}"


def summary(doorset: dict[str, Any], concessions: Iterable[dict[str, Any]]) -> dict[str, Any]:
    """One line about a doorset: how many readings and fixings, and how they came out."""
    surveyed = sum(len(survey["readings"]) for survey in doorset["surveys"])
    inspected = sum(len(inspection["readings"]) for inspection in doorset["inspections"])
    number = doorset["opening"]["number"]
    conceded = sum(concession["opening"] == number for concession in concessions)
    return {
        "readings": surveyed + inspected + 2 * len(doorset["gaps"]),
        "fixings": sum(len(member["fixed"]) for member in doorset["fixings"]),
        "outcome": _outcome(doorset, conceded),
    }


def _outcome(doorset: dict[str, Any], conceded: int) -> str:
    """Within all limits, or what is not: what the office conceded, and what no gate decides."""
    beyond = [f"{conceded} conceded"] if conceded else []
    if doorset["thermal"]["within"] is False:
        beyond.append("U over its limit")
    if doorset["upstand"] and not doorset["upstand"]["within"]:
        beyond.append("upstand over its limit")
    return f"✓ but {', '.join(beyond)}" if beyond else "✓ within all limits"


def fixings_in_words(member: dict[str, Any]) -> dict[str, Any]:
    """`150 (5 + 3) · 750 (8)`: position in mm and the packers beside it."""
    return {
        "member": member["member"],
        "told": " · ".join(_fixing(fixing) for fixing in member["fixed"]),
        "planned": len(member["planned"]),
        "fixed": len(member["fixed"]),
    }


def _fixing(fixing: dict[str, Any]) -> str:
    packers = " + ".join(figure(packer) for packer in fixing["packers"]) or "no packer"
    kind = "" if fixing["kind"] == "frame_screw" else f" {code_label(fixing['kind'])}"
    return f"{figure(fixing['position'])}{kind} ({packers})"


def lifts_in_words(lifts: list[dict[str, Any]]) -> str:
    """`junction 2 up 1.5 mm (1.5 turns), ...` in the order in which it was done."""
    return ", ".join(
        f"junction {one['junction']} {'up' if one['lift'] > 0 else 'down'} "
        f"{figure(abs(one['lift']))} mm ({figure(abs(one['turns']))} turns)"
        for one in lifts
    )


def leaves_in_words(doorset: dict[str, Any]) -> list[dict[str, Any]]:
    """Each leaf as ordered with what was done to its sash."""
    sashes = {sash["leaf"]: sash for sash in doorset["sashes"]}
    classes = {found["leaf"]: found["required_class"] for found in doorset["safety_glazing"]}
    return [
        leaf
        | {
            "glass_marking": sashes.get(leaf["number"], {}).get("glass_marking", ""),
            "required_class": classes.get(leaf["number"], ""),
            "told": _sash(sashes.get(leaf["number"])),
        }
        for leaf in doorset["leaves"]
    ]


SASH_WORK = {
    "blocks_set": "blocks set",
    "brace_set": "brace set",
}


def _sash(sash: dict[str, Any] | None) -> str:
    if sash is None:
        return "not recorded"
    missing = [words for name, words in SASH_WORK.items() if not sash[name]]
    done = f"✓ all done, {sash['beads_back']} beads back where they came from"
    return f"✗ not {', '.join(missing)}" if missing else done


def inspection_in_words(inspection: dict[str, Any]) -> str:
    """What was recorded besides readings."""
    told = []
    if inspection["acknowledged"]:
        told.append("confirmed")
    if inspection["count"] is not None:
        told.append(f"{inspection['count']} counted")
    if checks := inspection["checks"]:
        failed = [one["check"] for one in checks if not one["in_order"]]
        told.append(f"not in order: {', '.join(failed)}" if failed else f"{len(checks)} checked")
    if inspection["sealant_class"]:
        told.append(f"sealant of class {figure(inspection['sealant_class'])}")
    if inspection["return_on"]:
        told.append(f"protective tape stays inside until {inspection['return_on']}")
    if inspection["note"]:
        told.append(inspection["note"])
    if not inspection["counts"]:
        told.append("inspected again later")
    return "; ".join(told)


def reading_in_words(reading: dict[str, Any]) -> dict[str, str]:
    """What a difference or a spread was worked out from: `rising 4189, falling 4186`."""
    of = [f"{code_label(one['place'])} {figure(one['value'])}" for one in reading["measured"]]
    return {"from": ", ".join(of) if len(of) > 1 else ""}
