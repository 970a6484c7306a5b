"""The frozen plan of a fitting put into words, part by part. Pure."""

from collections.abc import Iterator
from itertools import groupby
from typing import Any

from reports.papers.survey_words import Pairs
from reports.templatetags.paper import figure, plain

METHODS = {
    "through_jamb": "through the jamb",
    "through_track": "through the track",
    "in_channel": "in the channel",
    "countersunk_in_sill": "countersunk in the sill",
}
BRACES = {
    "toe_and_heel_device": "The system's toe-and-heel device braces every sash: set it off the "
    "glass and do not over-tighten it.",
    "glass_on_blocks": "The glass on its blocks braces every sash.",
}
VERDICTS = {"sufficient": "✓ enough", "too_narrow": "✗ too narrow", "too_wide": "✗ too wide"}
NEVER_ALONE = 2


def lifts_in_words(lifts: dict[str, Any]) -> list[dict[str, str]]:
    """The frame, then the panes; panes that are alike stand in one row."""
    rows = [{"what": "Empty frame", **_lift(lifts["frame"], least=NEVER_ALONE)}]
    for _, group in groupby(lifts["panes"], key=lambda pane: round(pane["mass"], 1)):
        panes = list(group)
        rows.append({"what": _panes([pane["leaf"] for pane in panes]), **_lift(panes[0])})
    return rows


def _panes(leaves: list[int]) -> str:
    if len(leaves) == 1:
        return f"Pane of leaf {leaves[0]}"
    return f"Each pane of leaves {leaves[0]} to {leaves[-1]}"


def _lift(lift: dict[str, Any], least: int = 1) -> dict[str, str]:
    needed = lift["people_needed"]
    people = max(least, needed or 0)
    return {
        "mass": f"{figure(lift['mass'])} kg",
        "needs": f"{people} {'person' if people == 1 else 'people'}, or a lifting aid"
        if needed
        else "a lifting aid; no team the guideline knows lifts it",
        "guideline": f"{figure(lift['guideline'])} kg",
        "verdict": "✓ within" if lift["within_guideline"] else "✗ beyond",
    }


def lift_cautions(lifts: dict[str, Any]) -> list[str]:
    return [caution for lift in (lifts["frame"], *lifts["panes"]) for caution in lift["cautions"]]


def member_in_words(member: dict[str, Any], substrates: dict[str, Any]) -> dict[str, Any]:
    """A member's packing schedule, and what it is fixed into."""
    into = substrates.get(member["name"])
    return {
        "name": member["name"],
        "into": f"into {into['substrate']}: {into['fixing']}" if into else "wall not recorded",
        "note": member["note"] or "",
        "reason": member["reason"] or "",
        "rows": [
            {"number": number, **_fixing(fixing)}
            for number, fixing in enumerate(member["fixings"], start=1)
        ],
    }


def _fixing(fixing: dict[str, Any]) -> dict[str, str]:
    told = {"at": f"{figure(fixing['position'])} mm", "method": METHODS[fixing["method"]]}
    packers = fixing["packers"]
    if packers is None:
        return told | {"joint": "not measured", "pieces": "", "total": "", "left": ""}
    short = figure(packers["shortfall"])
    return told | {
        "joint": f"{figure(packers['joint_width'])} mm",
        "pieces": " + ".join(figure(piece) for piece in packers["pieces"]) or "none",
        "total": f"{figure(packers['thickness'])} mm",
        "left": f"{short} mm" if packers["within"] else f"{short} mm ! over the limit",
    }


def glazing_in_words(plan: dict[str, Any]) -> list[dict[str, str]]:
    """Every sash in the order in which it is glazed."""
    planned = {sash["number"]: sash for sash in plan["glazing"]["leaves"]}
    sizes = {leaf["number"]: leaf for leaf in plan["leaves"]}
    return [_sash(planned[number], sizes[number]) for number in plan["glazing"]["order"]]


def _sash(sash: dict[str, Any], leaf: dict[str, Any]) -> dict[str, str]:
    width, height = leaf["glass_width"], leaf["glass_height"]
    known = width is not None and height is not None
    return {
        "leaf": str(sash["number"]),
        "glass": f"{figure(width)} \N{MULTIPLICATION SIGN} {figure(height)}" if known else "",
        "mass": f"{figure(sash['glass_mass'])} kg",
        "heel": plain(sash["heel"]),
        "toe": plain(sash["toe"]),
        "setting": _blocks(sash["setting_blocks"]),
        "location": _blocks(sash["location_blocks"]),
    }


def _blocks(blocks: list[dict[str, Any]]) -> str:
    """`bottom 70, top 525`: the edge, and the block's middle along it."""
    return ", ".join(f"{block['edge']} {figure(block['at'])}" for block in blocks)


def block_length(plan: dict[str, Any]) -> str:
    """`100 mm`, or the range where blocks differ."""
    lengths = sorted(
        {
            figure(block["length"])
            for sash in plan["glazing"]["leaves"]
            for block in (*sash["setting_blocks"], *sash["location_blocks"])
        },
        key=float,
    )
    return " to ".join(dict.fromkeys((lengths[0], lengths[-1]))) + " mm"


def joints_in_words(joints: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """One row for each class of sealant: what it asks of every joint, and whether there is that."""
    classes = [one["sealant_class"] for one in joints[0]["by_sealant_class"]] if joints else []
    return [
        {
            "sealant_class": figure(sealant_class),
            "joints": [_joint(joint["by_sealant_class"][index]) for joint in joints],
        }
        for index, sealant_class in enumerate(classes)
    ]


def no_sealant_will_do(joints: list[dict[str, Any]]) -> bool:
    """Whether every class falls short at one joint at least."""
    by_class = zip(*(joint["by_sealant_class"] for joint in joints), strict=True)
    return not any(
        all(joint["verdict"] == "sufficient" for joint in of_class) for of_class in by_class
    )


def _joint(by_class: dict[str, Any]) -> dict[str, str]:
    least = max(by_class["by_movement"], by_class["by_guidance"])
    return {
        "wants": f"wants {figure(least)} to {figure(by_class['greatest'])} mm"
        if least <= by_class["greatest"]
        else f"wants {figure(least)} mm, beyond the greatest of {figure(by_class['greatest'])} mm",
        "governs": by_class["governs"],
        "verdict": VERDICTS[by_class["verdict"]],
    }


def running_gear_in_words(gear: dict[str, Any]) -> Pairs:
    """What a support can do, and what is wanted of the gaps."""
    return [
        ("Gaps at head and sill", f"differ by at most {figure(gear['tolerance'])} mm"),
        ("One turn lifts", f"{figure(gear['lift_per_turn'])} mm"),
        ("Range of a support", f"± {figure(gear['adjustment_range'])} mm about its middle"),
    ]


def facts_of_visit(installation: dict[str, Any]) -> Iterator[str]:
    """What the crew should know before it starts."""
    plan = installation["plan"]
    yield f"Closes and is locked at junction {plan['closing_junction']}."
    keep = next((j["number"] for j in plan["junctions"] if j["keep"]), None)
    if keep is not None:
        side = "left" if keep == 0 else "right"
        yield f"The keep at the {side} jamb comes off before that jamb is fixed."
    if plan["fit_decision"] is None:
        yield "No fit was decided from a survey before removal: packers are made up on the day."
    if installation["replanned_because"]:
        yield f"Planned anew: {installation['replanned_because']}"
