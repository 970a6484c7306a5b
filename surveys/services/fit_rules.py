"""From records and rule sets to the arithmetic of openings and back to plain JSON."""

from collections.abc import Mapping
from typing import Any

from jobs.rules import Rules
from surveys.arithmetic.edge_findings import EdgeLimits
from surveys.arithmetic.findings import FindingLimits
from surveys.arithmetic.fit_request import FitRequest
from surveys.arithmetic.head_findings import LintelLimit
from surveys.arithmetic.placement import Clearance, Frame
from surveys.arithmetic.readings import (
    SIDES,
    Checks,
    Diagonals,
    HigherEnd,
    KnownLength,
    Measurement,
    Opening,
    PlacedReading,
    Plumb,
    Priors,
    Splay,
    Straightedge,
    Surface,
    Surfaces,
)
from surveys.arithmetic.threshold_findings import ThresholdLimits
from surveys.arithmetic.uncertainty import Instrument as InstrumentData
from surveys.frozen import Accuracy, FitInputs


def read_opening(readings: Mapping[str, Any]) -> Opening:
    """The readings of an opening from plain JSON with the names of `opening-fit`."""
    plumb = readings.get("plumb", {})
    return Opening(
        widths=_placed(readings["widths"]),
        heights=_placed(readings["heights"]),
        diagonals=Diagonals(**readings["diagonals"]),
        sill_levels=_placed(readings.get("sill_levels", ())),
        head_levels=_placed(readings.get("head_levels", ())),
        plumb=Plumb(_placed(plumb.get("left", ())), _placed(plumb.get("right", ()))),
        straightedge=tuple(Straightedge(**reading) for reading in readings.get("straightedge", ())),
        splay=tuple(Splay(**reading) for reading in readings.get("splay", ())),
        checks=_checks(readings.get("checks", {})),
        higher_end=HigherEnd(**readings.get("higher_end", {})),
    )


def measurement_of(
    opening: Opening,
    instrument: Accuracy,
    level: Accuracy | None,
    rules: Rules,
    *,
    surfaces: Surfaces | None = None,
    check: Accuracy | None = None,
) -> Measurement:
    """Readings with the instruments that took them, and the priors of the rule set."""
    return Measurement(
        opening=opening,
        instrument=InstrumentData(**instrument),
        level_instrument=InstrumentData(**level) if level else None,
        priors=read_priors(rules),
        surfaces=surfaces or Surfaces(),
        check_instrument=InstrumentData(**check) if check else None,
    )


def read_priors(rules: Rules) -> Priors:
    """How much a side may bend, fall or lean, mm, before any reading says so."""
    return Priors(
        straightness=rules["opening_fit.straightness"],
        levelness=rules["opening_fit.levelness"],
        plumbness=rules["opening_fit.plumbness"],
        splay=rules["opening_fit.splay"],
        second_instrument_from=rules["survey.second_instrument_from"],
    )


def read_fit_request(inputs: Mapping[str, Any], rules: Rules) -> FitRequest:
    """A complete `opening-fit` request from the body that a program sent."""
    return FitRequest(
        measurement=measurement_of(
            read_opening(inputs["opening"]),
            inputs["instrument"],
            inputs.get("level_instrument"),
            rules,
            surfaces=Surfaces(**inputs.get("surfaces", {})),
            check=inputs.get("check_instrument"),
        ),
        frame=Frame(**inputs["frame"]),
        clearance=Clearance(**inputs["clearance"]),
        maximum_joint=inputs["maximum_joint"],
        confidence=inputs["confidence"],
    )


def fit_request(inputs: FitInputs, rules: Rules) -> FitRequest:
    """The request of a decision's inputs."""
    return FitRequest(
        measurement=measurement_of(
            inputs.opening,
            inputs.instrument,
            inputs.level_instrument,
            rules,
            surfaces=inputs.surfaces,
            check=inputs.check_instrument,
        ),
        frame=Frame(inputs.frame.width, inputs.frame.height),
        clearance=inputs.clearance,
        maximum_joint=inputs.maximum_joint,
        confidence=inputs.confidence,
    )


def clearance_wanted(
    rules: Rules, opening_width: float, conditions: Mapping[str, Any], material: str
) -> Clearance:
    """Least joint on each side, mm, for an opening of this width and a frame of this material.

    What plaster, board or tiles will still take of a structural opening is added to the rule.
    """
    side = next(
        clearance for widest, clearance in rules[f"clearance.{material}"] if opening_width <= widest
    )
    by_rule = {
        "left": side,
        "right": side,
        "head": rules["clearance.head"],
        "sill": rules["clearance.sill"],
    }
    allowances = conditions.get("allowances", {})
    return Clearance(**{name: by_rule[name] + allowances.get(name, 0.0) for name in SIDES})


def greatest_joint(rules: Rules, opening_width: float, conditions: Mapping[str, Any]) -> float:
    """Widest joint, mm, for an opening of this width; finishes still to come stand in it too."""
    joint = max(joint for narrowest, joint in rules["joint.greatest"] if opening_width >= narrowest)
    allowances = conditions.get("allowances", {})
    return float(joint + max(allowances.get(name, 0.0) for name in ("left", "right", "head")))


def opening_width(readings: Mapping[str, Any]) -> float:
    """The width that width bands go by: the greatest one read, mm."""
    return float(max(reading["value"] for reading in readings["widths"]))


# What a wall left bare is; under plaster or boards nobody can tell, so it is asked.
SURFACE_OF_SUBSTRATE: dict[str, Surface] = {
    "brick": "masonry",
    "block": "masonry",
    "timber": "timber",
    "steel": "steel",
    "concrete": "concrete",
}


def surfaces_of(given: Mapping[str, Any], conditions: Mapping[str, Any]) -> Surfaces:
    """What the frame comes against on each side: as it was recorded, else what a structural opening
    is made of."""
    substrate = conditions.get("substrate", {})
    bare = conditions.get("measured_to") == "structural"
    known = {side: SURFACE_OF_SUBSTRATE[name] for side, name in substrate.items() if bare}
    return Surfaces(**{**known, **given})


def finding_limits(rules: Rules) -> FindingLimits:
    return FindingLimits(
        drop=rules["guarding.drop"],
        drop_source=rules.source("guarding.drop"),
        height=rules["guarding.height"],
        sphere=rules["guarding.sphere"],
        guarding_source=rules.source("guarding.height", "guarding.sphere"),
        ventilators=rules["ventilation.habitable"],
        bathroom_ventilators=rules["ventilation.bathroom"],
        ventilation_source=rules.source("ventilation.habitable", "ventilation.bathroom"),
    )


def threshold_limits(rules: Rules) -> ThresholdLimits:
    return ThresholdLimits(
        ground_below=rules["threshold.ground_below"],
        ground_source=rules.source("threshold.ground_below"),
        upstand=rules["threshold.upstand"],
        upstand_source=rules.source("threshold.upstand"),
    )


def edge_limits(rules: Rules) -> EdgeLimits:
    """How far a fixing keeps off the edge of a wall, by what the wall is made of."""
    return EdgeLimits(dict(rules["fixing.edge_distance"]), rules.source("fixing.edge_distance"))


def lintel_limit(rules: Rules) -> LintelLimit:
    """How far a lintel may sag."""
    return LintelLimit(
        share=float(rules["lintel.span_over_deflection"]),
        source=rules.source("lintel.span_over_deflection"),
    )


def _placed(readings: Any) -> tuple[PlacedReading, ...]:
    return tuple(PlacedReading(reading["at"], reading["value"]) for reading in readings)


def _checks(checks: Mapping[str, Any]) -> Checks:
    return Checks(
        widths=_placed(checks.get("widths", ())),
        heights=_placed(checks.get("heights", ())),
        known_lengths=tuple(KnownLength(**check) for check in checks.get("known_lengths", ())),
    )
