"""The frame by rule of thumb, the frame that fits, and the order gate."""

from typing import Any

from fixtures_demo.client import Refused
from fixtures_demo.maker import instruction_of
from fixtures_demo.story import tell

GLAZING = {
    "layers": [
        {"glass": 6, "safety": "toughened"},
        {"cavity": 16, "gas": {"argon": 0.9, "air": 0.1}},
        {"glass": 4, "safety": "toughened", "emissivity": 0.03, "coated_face": "outward"},
    ]
}


def play(stage: Any) -> None:
    office, known = stage.office, stage.known
    system = office.create("profile-systems", **stage.scenario["profile_system"])
    stage.office.upload(
        f"profile-systems/{system['id']}/instructions/",
        "file",
        "track.pdf",
        instruction_of(system["name"]),
        title="The removable head track",
        phase="fixing",
    )
    known["doorsets"] = {}
    for key, opening in stage.scenario["openings"].items():
        survey = known["surveys"][key]
        office.act(f"surveys/{survey['id']}/", "accept")
        doorset = _draft_by_thumb(stage, key, system["id"])
        doorset = _settle_size(stage, opening["name"], survey, doorset)
        known["doorsets"][key] = office.act(f"doorsets/{doorset['id']}/", "order")
        _tell_order(known["doorsets"][key])


def _draft_by_thumb(stage: Any, key: str, system_id: str) -> dict[str, Any]:
    """Smallest width and height less the clearances: how envelopes order frames."""
    opening = stage.scenario["openings"][key]
    widths = [reading["value"] for reading in opening["first"]["widths"]]
    heights = [reading["value"] for reading in opening["first"]["heights"]]
    side = 7.5 if min(widths) > 3000 else 5
    return stage.office.create(
        "doorsets",
        opening=stage.known["openings"][key]["id"],
        profile_system=system_id,
        frame={"width": int(min(widths) - 2 * side), "height": int(min(heights) - 5)},
        glazing=GLAZING,
        **opening["doorset"],
    )


def _settle_size(
    stage: Any, name: str, survey: dict[str, Any], doorset: dict[str, Any]
) -> dict[str, Any]:
    thumb = doorset["frame"]
    decision = _decide(stage, survey, doorset)
    tell(
        f"{name}: the rule of thumb (smallest reading less clearance) orders {thumb['width']} x "
        f"{thumb['height']} mm. Verdict: {decision['verdict'].replace('_', ' ')}, probability "
        f"that it fits {decision['probability_fits']:.3f}."
    )
    if decision["verdict"] == "fits":
        return doorset
    _try_to_order(stage, doorset)
    largest = decision["answer"]["largest_frame"]
    doorset = stage.office.change(f"doorsets/{doorset['id']}/", frame=largest)
    decision = _decide(stage, survey, doorset)
    tell(
        f"The largest frame that fits is {largest['width']} x {largest['height']} mm, "
        f"{thumb['width'] - largest['width']} mm narrower; probability "
        f"{decision['probability_fits']:.3f}."
    )
    return doorset


def _decide(stage: Any, survey: dict[str, Any], doorset: dict[str, Any]) -> dict[str, Any]:
    return stage.office.create("fit-decisions", survey=survey["id"], doorset=doorset["id"])


def _try_to_order(stage: Any, doorset: dict[str, Any]) -> None:
    try:
        stage.office.act(f"doorsets/{doorset['id']}/", "order")
    except Refused as refusal:
        why = "; ".join(blocker["what"] for blocker in refusal.problem["blockers"])
        tell(f"The order gate stays closed: {why}.")
    else:
        raise SystemExit("A frame that does not fit was ordered.")


def _tell_order(doorset: dict[str, Any]) -> None:
    work = doorset["calculation"]
    tell(
        f"Ordered: {doorset['fold']}, {doorset['frame']['width']} x "
        f"{doorset['frame']['height']} mm, {work['mass']:.0f} kg."
    )
