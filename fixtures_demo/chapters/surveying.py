"""The first survey of each opening, and the misread tape."""

from copy import deepcopy
from datetime import UTC, datetime
from typing import Any

from fixtures_demo.client import Refused
from fixtures_demo.story import tell


def play(stage: Any) -> None:
    stage.known["surveys"] = {}
    for key, opening in stage.scenario["openings"].items():
        if "misread" in opening:
            _upload_misread(stage, key, opening["misread"])
        side = opening.get("unseen_by_widths")
        if side:
            _upload_sizes_alone(stage, key)
        survey = upload(stage, stage.surveyor, key, "first", opening["first"])
        if side:
            _tell_bulge(opening, side, survey["assessment"])
        stage.known["surveys"][key] = survey
        shape = survey["assessment"]["shape"]
        clear = survey["assessment"]["clear_width"]
        tell(
            f"{opening['name']}: the readings agree. Clear width {clear['value']:.1f} mm, standard "
            f"uncertainty {clear['standard_uncertainty']:.1f} mm; left jamb leans "
            f"{shape['left_lean']:+.1f} mm, right jamb {shape['right_lean']:+.1f} mm."
        )


def upload(
    stage: Any, client: Any, key: str, stage_name: str, readings: dict[str, Any]
) -> dict[str, Any]:
    """Record one survey with tape and laser, gaps at straightedge and square by the gauge."""
    known = stage.known
    visit = known["survey_visit"] if stage_name == "first" else known["fitting_visit"]
    return client.create(
        "surveys",
        opening=known["openings"][key]["id"],
        visit=visit["id"],
        stage=stage_name,
        taken_at=datetime.now(tz=UTC).isoformat(),
        instrument=known["instruments"]["T-0815"]["id"],
        level_instrument=known["instruments"]["L-0042"]["id"],
        gap_instrument=known["instruments"]["G-0310"]["id"],
        readings=readings,
        conditions=stage.scenario["openings"][key]["conditions"],
    )


def _upload_misread(stage: Any, key: str, misread: dict[str, Any]) -> None:
    opening = stage.scenario["openings"][key]
    readings = deepcopy(opening["first"])
    readings["diagonals"]["rising"] = misread["wrong"]
    survey = upload(stage, stage.surveyor, key, "first", readings)
    suspects = survey["assessment"]["suspect_readings"]
    named = [suspect["reading"] for suspect in suspects]
    if misread["reading"] not in named:
        raise SystemExit(f"The misread tape was not caught; suspects: {named}")
    likely = next(s for s in suspects if s["reading"] == misread["reading"])["likely_value"]
    tell(
        f"{opening['name']}: {misread['reading']} was written down as {misread['wrong']}. The "
        f"readings contradict each other; suspect: {', '.join(named)}, likely {likely:.0f}. "
        f"Read again: {misread['right']}."
    )
    _try_to_accept(stage, survey)


def _upload_sizes_alone(stage: Any, key: str) -> None:
    """As tapes alone see an opening, before anybody lays a straightedge along its jambs."""
    opening = stage.scenario["openings"][key]
    walls = ("straightedge", "splay")
    sizes = {name: value for name, value in opening["first"].items() if name not in walls}
    survey = upload(stage, stage.surveyor, key, "first", sizes)
    tell(
        f"{opening['name']}: three widths say nothing of the wall between them, so by them alone "
        f"no frame over {_largest(survey['assessment'])} mm is sure to fit."
    )


def _tell_bulge(opening: dict[str, Any], side: str, assessment: dict[str, Any]) -> None:
    humps = {laid["side"]: laid["hump"] for laid in opening["first"]["straightedge"]}
    tell(
        f"{opening['name']}: rocked on the {side} jamb, the straightedge stands off {humps[side]} "
        f"mm at both ends: the wall bulges where no width was read. Everything else is straight, "
        f"so {_largest(assessment)} mm is sure to fit."
    )


def _largest(assessment: dict[str, Any]) -> str:
    frame = assessment["largest_frame"]
    return f"{frame['width']} x {frame['height']}"


def _try_to_accept(stage: Any, survey: dict[str, Any]) -> None:
    try:
        stage.office.act(f"surveys/{survey['id']}/", "accept")
    except Refused as refusal:
        tell(f"The office cannot accept it: {refusal.problem['detail']}")
    else:
        raise SystemExit("A survey that contradicts itself was accepted.")
