"""What a certificate records of the surveys that a doorset was decided by."""

from collections.abc import Iterator
from typing import Any

from jobs.models import Doorset
from reports.papers.plain import frozen_instrument_facts, instant
from surveys.arithmetic.readings import GREATEST_NORMALISED_RESIDUAL
from surveys.arithmetic.uncertainty import Instrument, standard_uncertainty
from surveys.models import FitDecision

# Where the readings of a request lie, by the name that the adjustment gives them.
LISTS = ("widths", "heights", "sill_levels", "head_levels")
SIZES = ("widths", "heights", "diagonals")


def survey_records(doorset: Doorset) -> list[dict[str, Any]]:
    """The newest fit decision of each survey that counted: accepted, or made before removal."""
    decisions = (
        doorset.fit_decisions.select_related("survey__surveyor")
        .exclude(survey__stage="first", survey__accepted_at=None)
        .order_by("survey__taken_at", "created_at", "id")
    )
    newest = {decision.survey_id: decision for decision in decisions}
    return [_survey(decision) for decision in newest.values()]


def _survey(decision: FitDecision) -> dict[str, Any]:
    survey, answer = decision.survey, decision.answer
    used = survey.assessment["measured_with"].values()
    adjustment = answer["adjustment"]
    return {
        "stage": survey.stage,
        "taken_at": instant(survey.taken_at),
        "surveyor": survey.surveyor.display_name,
        "instruments": [frozen_instrument_facts(i) for i in used if i],
        "consistent": not answer["suspect_readings"],
        "adjustment": {
            name: adjustment[name] for name in ("chi_square", "degrees_of_freedom", "p_value")
        },
        "readings": list(_readings(decision.inputs, adjustment["residuals"])),
        "findings": [
            {name: found[name] for name in ("what", "caution", "source")}
            for found in (*survey.assessment["findings"], *answer["findings"])
        ],
        "fit": {
            "verdict": decision.verdict,
            "frame": {"width": decision.frame_width, "height": decision.frame_height},
            "probability_fits": decision.probability_fits,
            "confidence": decision.inputs["confidence"],
            "clear_width": answer["clear_width"],
            "clear_height": answer["clear_height"],
            "joints": answer["joints"],
        },
        "standing": _standing(decision),
    }


def _standing(decision: FitDecision) -> dict[str, Any]:
    """How the frame stands in the opening, as `surveys.drawings.FittedOpening.read` takes it."""
    of_inputs = ("frame", "clearance", "maximum_joint")
    of_answer = ("placement", "outline", "joint_profile", "verdict", "probability_fits")
    return {
        "inputs": {name: decision.inputs[name] for name in of_inputs},
        "answer": {name: decision.answer[name] for name in of_answer},
    }


def _readings(inputs: dict[str, Any], residuals: list[dict[str, Any]]) -> Iterator[dict[str, Any]]:
    """Every reading with its uncertainty, and how far it stands from the adjusted opening, mm."""
    found = {residual["reading"]: residual for residual in residuals}
    for name, at, value in _placed(inputs["opening"]):
        size = name.startswith(SIZES)
        instrument = Instrument(**(inputs["instrument"] if size else inputs["level_instrument"]))
        normalised = found[name]["normalised"]
        within = abs(normalised) <= GREATEST_NORMALISED_RESIDUAL
        yield {
            "reading": name,
            "at": at,
            "value": value,
            "standard_uncertainty": standard_uncertainty(instrument, value if size else 0.0),
            "residual": found[name]["residual"],
            "normalised_residual": normalised,
            "limit": GREATEST_NORMALISED_RESIDUAL,
            "verdict": "pass" if within else "fail",
        }


def _placed(opening: dict[str, Any]) -> Iterator[tuple[str, float | None, float]]:
    """Name, place and value of each reading, named as the adjustment names them."""
    sides = {f"plumb.{side}": placed for side, placed in opening.get("plumb", {}).items()}
    for name, placed in {**{n: opening.get(n, []) for n in LISTS}, **sides}.items():
        for index, reading in enumerate(placed):
            yield f"{name}.{index}", reading["at"], reading["value"]
    for name, value in opening["diagonals"].items():
        yield f"diagonals.{name}", None, value
