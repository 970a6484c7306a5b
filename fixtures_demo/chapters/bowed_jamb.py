"""A jamb that bows: read, packed as the service says, and read again until it is in order."""

from itertools import count
from math import prod
from typing import Any

from fixtures_demo.story import tell

QUARTERS = {"lower_quarter": 0.25, "middle": 0.5, "upper_quarter": 0.75}
MOST_ROUNDS = 6


class BowedJamb:
    """As it stands on its packers: one smooth curve through its fixings, mm."""

    def __init__(self, installation: dict[str, Any], member: str, heights: list[float]) -> None:
        layout = installation["plan"]["fixing_layout"]["members"]
        planned = next(one for one in layout if one["name"] == member)
        self.member, self.length = member, float(planned["length"])
        self.places = [float(place) for place in planned["positions"]]
        self.heights = list(heights)

    def bows(self) -> dict[str, float]:
        """How far it stands off the straight line from foot to head, to a tenth."""
        foot, head = self._stands(0.0), self._stands(self.length)
        return {
            f"{self.member}_jamb_{name}": round(
                self._stands(share * self.length) - foot - share * (head - foot), 1
            )
            for name, share in QUARTERS.items()
        }

    def follow(self, change: dict[str, Any]) -> None:
        self.heights[self.places.index(change["at"])] += change["change"]

    def _stands(self, place: float) -> float:
        """Lagrange's polynomial through the fixings."""
        return sum(
            height * prod((place - other) / (at - other) for other in self.places if other != at)
            for at, height in zip(self.places, self.heights, strict=True)
        )


def put_right(stage: Any, installation: dict[str, Any], read: Any) -> None:
    """`read` records the readings that it is given and answers with the inspection. A second fitter
    looks at the defect again once the bow is gone."""
    bowed = stage.scenario["bowed"]
    jamb = BowedJamb(installation, bowed["member"], bowed["heights"])
    found = inspection = read(jamb.bows())
    (defect,) = stage.fitter.all_of("defects", installation=installation["id"])
    tell(f"A defect is found ({found['outcome']}): {defect['description']}.")
    for number in count(1):
        if inspection["outcome"] == "pass":
            break
        if number > MOST_ROUNDS:
            raise SystemExit(f"The bow does not go: {inspection['next_act']}")
        _do_as_advised(stage, installation, jamb, inspection["next_act"])
        inspection = read(jamb.bows())
    path = f"defects/{defect['id']}/"
    stage.fitter.act(path, "put-right", how=bowed["how"])
    closed = stage.mate.act(path, "reinspect", accepted=True, note="Looked at again: straight.")
    tell(f"Put right: {bowed['how']} Looked at again by a second fitter, closed.")
    stage.known["defect"] = closed


def _do_as_advised(
    stage: Any, installation: dict[str, Any], jamb: BowedJamb, next_act: dict[str, Any]
) -> None:
    act = next(one for one in next_act["members"] if one["member"] == jamb.member)
    tell(f"What to do next: {act['in_words']}.")
    for change in act["act"]["changes"]:
        stage.fitter.create(
            "packer-changes",
            installation=installation["id"],
            member=jamb.member,
            position=change["at"],
            added=change["added"],
            taken=change["taken"],
        )
        jamb.follow(change)
