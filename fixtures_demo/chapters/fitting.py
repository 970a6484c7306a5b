"""Delivery, measuring again, and the fitting of each doorset by its plan."""

from datetime import UTC, datetime
from math import hypot
from typing import Any

from fixtures_demo.camera import picture_of
from fixtures_demo.chapters import bowed_jamb, on_the_phone
from fixtures_demo.chapters.surveying import upload
from fixtures_demo.chapters.taking_on import visit_body
from fixtures_demo.client import Client
from fixtures_demo.story import progress, tell

# Frame faces and tracks take this much off the frame's height, mm.
FACES = 116


def prepare(stage: Any) -> None:
    """Book the crew, receive the doorsets, measure again, plan the fitting."""
    known = stage.known
    known["fitting_visit"] = stage.office.create("visits", **visit_body(stage, "fitting", hours=8))
    _tell_removal_gate(stage)
    known["installations"] = {}
    for key, doorset in known["doorsets"].items():
        _receive(stage, doorset)
        _measure_again(stage, key, doorset)
        known["installations"][key] = stage.fitter.create(
            "installations", doorset=doorset["id"], visit=known["fitting_visit"]["id"]
        )


def play(stage: Any) -> None:
    """Follow the plan of each doorset, step by step."""
    on_the_phone.switch_on(stage)
    for key, opening in stage.scenario["openings"].items():
        tell(f"{opening['name']}:")
        _tell_plan(stage.known["installations"][key])
        _fit(stage, key)


def _tell_removal_gate(stage: Any) -> None:
    gates = stage.fitter.read(f"jobs/{stage.known['reference']}/gates/")["gates"]
    removal = next(gate for gate in gates if gate["gate"] == "removal")
    if removal["open"]:
        raise SystemExit("The old doors could come out before the new ones are there.")
    what = "; ".join(sorted({blocker["what"] for blocker in removal["blockers"]}))
    tell(f"The old doors stay in; still to do: {what}.")


def _receive(stage: Any, doorset: dict[str, Any]) -> None:
    leaves = int(doorset["fold"].split("-")[0])
    stage.fitter.create(
        "deliveries",
        doorset=doorset["id"],
        delivered_on=datetime.now(tz=UTC).date().isoformat(),
        frame=doorset["frame"],
        leaves_counted=leaves,
        declaration=stage.scenario["fitting"]["declaration"],
        accepted=True,
    )


def _measure_again(stage: Any, key: str, doorset: dict[str, Any]) -> None:
    opening = stage.scenario["openings"][key]
    survey = upload(stage, stage.fitter, key, "before_removal", opening["before_removal"])
    decision = stage.fitter.create("fit-decisions", survey=survey["id"], doorset=doorset["id"])
    if decision["verdict"] != "fits":
        raise SystemExit(f"The delivered frame does not fit: {decision['answer']['warnings']}")
    joints = decision["answer"]["joints"]
    tell(
        f"{opening['name']}: delivered and measured again. It fits, probability "
        f"{decision['probability_fits']:.3f}; joint left {joints['left']['min']:.0f} to "
        f"{joints['left']['max']:.0f} mm, right {joints['right']['min']:.0f} to "
        f"{joints['right']['max']:.0f} mm, head {joints['head']['min']:.0f} to "
        f"{joints['head']['max']:.0f} mm. The old door may come out."
    )


def _measure_open_wall(stage: Any, key: str) -> None:
    """The old door is out, and the wall is seen for the first time."""
    opening, doorset = stage.scenario["openings"][key], stage.known["doorsets"][key]
    survey = upload(stage, stage.fitter, key, "after_removal", opening["after_removal"])
    decision = stage.fitter.create("fit-decisions", survey=survey["id"], doorset=doorset["id"])
    if decision["verdict"] != "fits":
        raise SystemExit(f"The frame does not fit the wall: {decision['answer']['warnings']}")
    tell(
        f"{opening['name']}: measured with the old door out. The frame still fits, probability "
        f"{decision['probability_fits']:.3f}."
    )


def _planned_anew(stage: Any, key: str) -> dict[str, Any]:
    """Packers and fixings follow from what came to light."""
    known = stage.known["installations"]
    known[key] = stage.fitter.read(f"installations/{known[key]['id']}/")
    tell(f"Planned again, because {known[key]['replanned_because']}.")
    _tell_plan(known[key])
    return dict(known[key])


def _tell_plan(installation: dict[str, Any]) -> None:
    for member in installation["plan"]["fixing_layout"]["members"]:
        places = ", ".join(_fixing_words(fixing) for fixing in member["fixings"])
        tell(f"Fixings of the {member['name']}, mm (packers): {places or member['reason']}.")
        if supports := [
            support for support in member["support_positions"] if not support["at_fixing"]
        ]:
            places = ", ".join(_fixing_words(support) for support in supports)
            tell(f"Packers without a fixing under the {member['name']}, mm (packers): {places}.")


def _fixing_words(packed: dict[str, Any]) -> str:
    """Of a fixing, or of a packer without one."""
    pieces = "+".join(f"{piece:g}" for piece in packed["packers"]["pieces"])
    return f"{packed['position']} ({pieces or 'none'})"


def _fit(stage: Any, key: str) -> None:
    installation = stage.known["installations"][key]
    steps = [s for s in _steps(stage, installation) if s["phase"] != "handover"]
    for number, step in enumerate(steps, start=1):
        _before(stage, step, installation)
        if step["code"] == "measure_open_wall":
            _measure_open_wall(stage, key)
        _inspect(stage, key, step)
        if step["code"] == "measure_open_wall":
            installation = _planned_anew(stage, key)
        if "photo" in step["evidence"]:
            _photograph(stage, key, step)
        progress(number, len(steps), "steps recorded")


def _photograph(stage: Any, key: str, step: dict[str, Any]) -> None:
    """A picture of its own for each step of each opening: it is evidence of nothing else."""
    installation = stage.known["installations"][key]
    opening = stage.scenario["openings"][key]["name"]
    stage.fitter.upload(
        f"installations/{installation['id']}/photos/",
        "image",
        f"{step['code']}.jpg",
        picture_of(f"{opening}: {step['title']}"),
        step=step["id"],
    )


def _before(stage: Any, step: dict[str, Any], installation: dict[str, Any]) -> None:
    """What is recorded beside the steps, when the work has come to it."""
    if step["code"] == "beads_off":
        on_the_phone.take_beads_off(stage, installation)
    if step["code"] == "beads_back":
        on_the_phone.put_beads_back(stage, installation)
    if step["code"] == "bow":
        on_the_phone.record_fixings(stage, installation)
    if step["code"] == "running_gear":
        on_the_phone.record_gaps(stage, installation)
    if step["code"] == "glass_in":
        on_the_phone.record_sashes(stage, installation)
    if step["code"] == "gaps_again":
        on_the_phone.read_gaps_again(stage, installation)


def _steps(stage: Any, installation: dict[str, Any]) -> list[dict[str, Any]]:
    steps = stage.fitter.all_of("plan-steps", installation=installation["id"])
    return sorted(steps, key=lambda step: step["number"])


def _inspect(stage: Any, key: str, step: dict[str, Any]) -> None:
    if step["code"] == "bow" and key == stage.scenario["bowed"]["opening"]:
        bowed_jamb.put_right(
            stage,
            stage.known["installations"][key],
            lambda readings: _record(stage, stage.fitter, key, step, readings),
        )
    else:
        _record(stage, stage.fitter, key, step, {})


def _record(
    stage: Any, client: Client, key: str, step: dict[str, Any], otherwise: dict[str, float]
) -> dict[str, Any]:
    body: dict[str, Any] = {"step": step["id"]}
    if "acknowledgement" in step["evidence"]:
        body["acknowledged"] = True
    if "lifted_with" in step["asks"]:
        body["lifted_with"] = stage.scenario["fitting"]["lifted_with"]
    if step["code"] == "seal":
        sealed = stage.scenario["fitting"]["seal"]
        body |= sealed | {"sealant_use_by": sealed["sealant_use_by"].isoformat()}
    if step["checks"]:
        body["checks"] = dict.fromkeys(step["checks"], True)
    if "reading" in step["evidence"]:
        values = _values(stage, key, step["code"]) | otherwise
        body["readings"] = [{"place": p, "value": v} for p, v in values.items()]
        body["instrument"] = _instrument(stage, step["code"])["id"]
    inspection = client.create("inspections", **body)
    if not otherwise and inspection["outcome"] != "pass":
        raise SystemExit(f"{step['title']}: {inspection['outcome']}: {inspection['readings']}")
    return inspection


def _values(stage: Any, key: str, code: str) -> dict[str, float]:
    frame = stage.known["doorsets"][key]["frame"]
    if code == "diagonals":
        diagonal = float(round(hypot(frame["width"], frame["height"])))
        return {"rising": diagonal, "falling": diagonal}
    if code == "clear_height":
        ends = stage.scenario["fitting"]["level"]
        return {place: float(frame["height"] - FACES) for place in ends}
    return {place: float(value) for place, value in stage.scenario["fitting"][code].items()}


def _instrument(stage: Any, code: str) -> dict[str, Any]:
    """A laser good to 1 mm shows no bow of 1.5 mm: that is read at a straightedge."""
    serial = {"diagonals": "T-0107", "clear_height": "T-0107", "bow": "F-0221"}.get(code, "L-0042")
    return stage.known["instruments"][serial]
