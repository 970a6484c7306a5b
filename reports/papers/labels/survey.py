"""The record of a survey put into words. Pure."""

from collections.abc import Callable, Iterator
from typing import Any

from jobs.code_labels import code_label
from jobs.figures import day, figure, hundredths
from reports.papers.labels.job import instrument_name
from surveys.shape_words import SHAPE_WORDS

Pairs = list[tuple[str, str]]
SIDES = ("left", "right", "head", "sill")
OCCASIONS = {"first": "before ordering", "before_removal": "before the old door came out"}


def survey_in_words(survey: dict[str, Any]) -> dict[str, Any]:
    """When and with what it was measured, and whether the set agrees with itself."""
    found = survey["adjustment"]
    how = (
        f"chi-square {hundredths(found['chi_square'])} at {found['degrees_of_freedom']} "
        f"degrees of freedom, p {hundredths(found['p_value'])}"
    )
    agrees = "agree with each other" if survey["consistent"] else "contradict each other"
    return {
        "occasion": OCCASIONS.get(survey["stage"], code_label(survey["stage"])),
        "agreement": f"The readings {agrees} ({how}).",
        "with": " and ".join(instrument_name(i) for i in survey["instruments"]),
        "joints_in_words": joints_in_words(survey["fit"]["joints"]) if survey["fit"] else "",
        "readings": [r | {"name": reading_name(r["reading"])} for r in survey["readings"]],
    }


def joints_in_words(joints: dict[str, Any]) -> str:
    """`left 5.1 to 9 mm, ...` in the order left, right, head, sill."""
    return ", ".join(
        f"{member} {figure(joints[member]['min'])} to {figure(joints[member]['max'])} mm"
        for member in SIDES
    )


READING_NAMES = {
    "widths": "width",
    "heights": "height",
    "sill_levels": "sill level",
    "head_levels": "head level",
    "plumb.left": "plumb, left jamb",
    "plumb.right": "plumb, right jamb",
    "diagonals.rising": "rising diagonal",
    "diagonals.falling": "falling diagonal",
}


def reading_name(name: str) -> str:
    """`widths.0` as `width`; the place stands in a column of its own."""
    return READING_NAMES.get(name) or READING_NAMES.get(name.rpartition(".")[0], name)


def sheet_in_words(survey: dict[str, Any]) -> dict[str, Any]:
    """What only a survey sheet says: how the survey stands, shape, suspects, conditions."""
    return survey_in_words(survey) | {
        "how_it_stands": _how_it_stands(survey),
        "clear": _clear(survey["assessment"]),
        "shape": shape_in_words(survey["assessment"]["shape"]),
        "suspects": [_suspect(suspect, survey["readings"]) for suspect in survey["suspects"]],
        "conditions": conditions_in_words(survey["conditions"]),
    }


def _how_it_stands(survey: dict[str, Any]) -> str:
    if survey["stage"] != "first":
        return "Counts as it was taken."
    if survey["accepted_at"]:
        return f"✓ Accepted on {day(survey['accepted_at'])} as what may be ordered by."
    return "Not accepted: nothing may be ordered by it."


def _clear(assessment: dict[str, Any]) -> Pairs:
    largest = assessment["largest_frame"]
    return [
        ("Clear width", _uncertain(assessment["clear_width"])),
        ("Clear height", _uncertain(assessment["clear_height"])),
        ("Largest frame", f"{largest['width']} \N{MULTIPLICATION SIGN} {largest['height']} mm"),
    ]


def _uncertain(size: dict[str, Any]) -> str:
    return f"{figure(size['value'])} mm (u {hundredths(size['standard_uncertainty'])} mm)"


def shape_in_words(shape: dict[str, float]) -> Pairs:
    """`Sill, left to right: falls 3 mm`; what rounds to nothing is true."""
    return [
        (str(name), _way(shape[key], str(more), str(less)))
        for key, (name, more, less) in SHAPE_WORDS.items()
    ]


def _way(value: float, more: str, less: str) -> str:
    told = figure(abs(value))
    return "true" if told == "0" else f"{more if value > 0 else less} {told} mm"


def _suspect(suspect: dict[str, Any], readings: list[dict[str, Any]]) -> dict[str, str]:
    read = next(one for one in readings if one["reading"] == suspect["reading"])
    at = "" if read["at"] is None else f" at {figure(read['at'])} mm"
    return {
        "name": reading_name(suspect["reading"]) + at,
        "read": f"{figure(read['value'])} mm",
        "likely": f"{figure(suspect['likely_value'])} mm",
    }


def _length(value: float) -> str:
    return f"{figure(value)} mm"


def _yes_or_no(value: bool) -> str:
    return "yes" if value else "no"


def _choices(value: list[str]) -> str:
    return ", ".join(code_label(one) for one in value) or "none"


def _sides(of: Callable[[Any], str]) -> Callable[[dict[str, Any]], str]:
    return lambda value: ", ".join(f"{side} {of(value[side])}" for side in SIDES if side in value)


# What is decided for safety and structure first.
CONDITIONS: dict[str, tuple[str, Callable[[Any], str]]] = {
    "asbestos_suspected": ("Asbestos suspected", _yes_or_no),
    "asbestos_cleared": ("Asbestos cleared by", str),
    "outside_drop": ("Ground outside lies lower by", _length),
    "guarding_present": ("Guarding there", _yes_or_no),
    "lintel_seen": ("Lintel seen", _yes_or_no),
    "lintel_span": ("Span of the lintel", _length),
    "head_movement_allowance": ("Movement wanted at the head", _length),
    "services_in_reveal": ("Services in the reveal", _choices),
    "substrate": ("Fixed into", _sides(code_label)),
    "damp_proof_course": ("Damp-proof course", code_label),
    "cavity": ("Cavity", code_label),
    "measured_to": ("Measured to", lambda to: f"{to} opening"),
    "allowances": ("Finishes still to come", _sides(_length)),
    "floor_level_inside": ("Floor inside, above the sill", _length),
    "floor_level_outside": ("Ground outside, above the sill", _length),
    "threshold": ("Threshold", code_label),
    "drainage": ("Drainage", code_label),
    "reveal_depth": ("Depth of the reveal", _length),
    "frame_position": ("Frame behind the wall's face", _length),
    "sill_projection": ("Projection of the sill", _length),
    "stack_room": ("Room for the folded leaves", _length),
    "obstructions": ("In the way of the leaves", _choices),
    "access": ("Way in for the doorset", _choices),
    "notifiable": ("Notifiable to building control", code_label),
    "trickle_ventilation_present": ("Background ventilators now", _yes_or_no),
    "notes": ("Notes", str),
}


def conditions_in_words(conditions: dict[str, Any]) -> tuple[Pairs, Pairs]:
    """What was recorded besides readings, as names and values in two columns."""
    told = list(_recorded(conditions))
    middle = (len(told) + 1) // 2
    return told[:middle], told[middle:]


def _recorded(conditions: dict[str, Any]) -> Iterator[tuple[str, str]]:
    for key, (name, in_words) in CONDITIONS.items():
        if (value := conditions.get(key)) is not None:
            yield name, in_words(value)
