"""What is recorded beside the steps, where there is no network: it waits on the fitter's phone."""

from collections.abc import Iterator
from typing import Any

from fixtures_demo.queue import MOST_OPERATIONS, Phone, Store
from fixtures_demo.story import progress, tell

# In the order in which beads go back.
SIDES = ("top", "bottom", "left", "right")
# Gap at head and sill once all is set, and the difference of the two where a carrier hangs low, mm.
EVEN, HANGS_LOW = 4.0, 2.4


def switch_on(stage: Any) -> None:
    """The fitter's phone, with an empty queue."""
    file = stage.folder / "phone.sqlite3"
    file.unlink(missing_ok=True)
    stage.known["phone"] = Phone(Store(file, "fitter"), stage.fitter)


def take_beads_off(stage: Any, installation: dict[str, Any]) -> None:
    """Numbered from the left, in the order in which they come off."""
    places = [(leaf["number"], side) for leaf in installation["plan"]["leaves"] for side in SIDES]
    for number, (leaf, side) in enumerate(places, start=1):
        stage.known["phone"].add(
            "take_bead_off",
            installation=installation["id"],
            number=str(number),
            leaf=leaf,
            side=side,
        )
    _send(stage, "beads off")


def put_beads_back(stage: Any, installation: dict[str, Any]) -> None:
    beads = stage.fitter.all_of("beads", installation=installation["id"])
    for bead in sorted(beads, key=lambda bead: int(bead["number"])):
        stage.known["phone"].change(
            "put_bead_back", bead["id"], bead["version"], leaf=bead["leaf"], side=bead["side"]
        )
    _send(stage, "beads back")


def record_fixings(stage: Any, installation: dict[str, Any]) -> None:
    """The first answer is lost on the way."""
    for fixing in _planned_fixings(installation):
        stage.known["phone"].add("record_fixing", installation=installation["id"], **fixing)
    _lose_an_answer(stage)
    _send(stage, "fixings recorded")


def record_gaps(stage: Any, installation: dict[str, Any]) -> None:
    """One carrier hangs low at first; it is turned as the service says, and all is read again."""
    low = _carriers(installation)[0]
    for junction in installation["plan"]["junctions"]:
        number = junction["number"]
        hangs = {0: HANGS_LOW, 1: HANGS_LOW / 2}.get(abs(number - low), 0.0)
        _read_gap(stage, installation, number, head=EVEN + hangs / 2, sill=EVEN - hangs / 2)
    _send(stage, "junction gaps read")
    for turned in _turn_carriers(stage, installation):
        tell(turned)
    read_gaps_again(stage, installation)


def read_gaps_again(stage: Any, installation: dict[str, Any]) -> None:
    for junction in installation["plan"]["junctions"]:
        _read_gap(stage, installation, junction["number"], head=EVEN, sill=EVEN)
    _send(stage, "gaps read again")


def _read_gap(
    stage: Any, installation: dict[str, Any], junction: int, *, head: float, sill: float
) -> None:
    stage.known["phone"].add(
        "record_gap",
        installation=installation["id"],
        junction=junction,
        head_gap=head,
        sill_gap=sill,
        instrument=stage.known["instruments"]["G-0310"]["id"],
    )


def _carriers(installation: dict[str, Any]) -> list[int]:
    return [
        place["junction"]
        for chain in installation["plan"]["running_gear"]["chains"]
        for place in chain["places"]
        if place["support"] == "carrier"
    ]


def _turn_carriers(stage: Any, installation: dict[str, Any]) -> Iterator[str]:
    """What was turned, in words."""
    for chain in stage.fitter.read(f"installations/{installation['id']}/running-gear/"):
        for carrier in chain["advice"]["adjustments"]:
            turns = round(carrier["turns"], 1)
            if not turns:
                continue
            stage.known["phone"].add(
                "record_lift",
                installation=installation["id"],
                junction=carrier["junction"],
                chain=chain["jamb"],
                turns=turns,
            )
            yield (
                f"Carrier of junction {carrier['junction']}: {carrier['lift']:+.1f} mm, "
                f"{turns:+g} turns."
            )


def record_sashes(stage: Any, installation: dict[str, Any]) -> None:
    for leaf in installation["plan"]["leaves"]:
        stage.known["phone"].add(
            "record_sash",
            installation=installation["id"],
            leaf=leaf["number"],
            blocks_set=True,
            brace_set=True,
            glass_marking=stage.scenario["sash"]["glass_marking"],
        )
    _send(stage, "sashes recorded")


def _planned_fixings(installation: dict[str, Any]) -> Iterator[dict[str, Any]]:
    for member in installation["plan"]["fixing_layout"]["members"]:
        for fixing in member["fixings"]:
            yield {
                "member": member["name"],
                "position": fixing["position"],
                "kind": "frame_screw",
                "packers": fixing["packers"]["pieces"],
            }


def _lose_an_answer(stage: Any) -> None:
    """What waits on the phone reaches the service, and nobody hears what became of it."""
    phone = stage.known["phone"]
    waiting = [kept.operation for kept in phone.store.all("queued")]
    phone.client.send("POST", "sync/", {"operations": waiting[:MOST_OPERATIONS]})
    tell(f"No network behind the house: {len(waiting)} records wait on the phone.")


def _send(stage: Any, what: str) -> None:
    sent = stage.known["phone"].send()
    if not sent.all_done:
        raise SystemExit(f"The queue stopped: {stage.known['phone'].to_decide}")
    total = sum(sent.results.values())
    progress(total, total, what)
    if repeated := sent.results.get("already_applied"):
        tell(f"An answer was lost, so {repeated} were sent twice; each is on record once.")
