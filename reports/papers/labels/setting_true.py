"""How the frame was set true: what was read of a member and what was changed, in their order."""

from collections.abc import Iterator
from typing import Any

from django.utils.translation import gettext as _

from installs.frame_places import PLACES
from jobs.code_labels import code_label
from jobs.figures import figure, number
from reports.papers.frozen.fitting import FittingFacts, InspectionFacts, PackerChangeFacts


def setting_true(doorset: FittingFacts) -> list[dict[str, Any]]:
    """Rows of the members whose packers were changed, oldest first; none where none were."""
    members = {change.member for change in doorset.packer_changes}
    rows = [*map(_change, doorset.packer_changes), *_readings(doorset.inspections, members)]
    return sorted(rows, key=lambda row: row["made_at"])


def _change(change: PackerChangeFacts) -> dict[str, Any]:
    parts = []
    if change.taken:
        parts.append(_("taken out {pieces}").format(pieces=_pieces(change.taken)))
    if change.added:
        parts.append(_("added {pieces}").format(pieces=_pieces(change.added)))
    grown = sum(change.added) - sum(change.taken)
    return {
        "made_at": change.made_at,
        "who": change.fitter,
        "where": _("{member}, {position} mm").format(
            member=code_label(change.member), position=figure(change.position)
        ),
        "what": _("packers {change} mm: {parts}").format(
            change=number(grown, "+g"), parts=", ".join(parts)
        ),
        "verdict": "",
    }


def _readings(
    inspections: tuple[InspectionFacts, ...], members: set[str]
) -> Iterator[dict[str, Any]]:
    for inspection in inspections:
        for reading in inspection.readings:
            place = PLACES.get(reading.place)
            if place is None or not members & set(place.members):
                continue
            yield {
                "made_at": inspection.made_at,
                "who": inspection.inspector,
                "where": code_label(reading.place),
                "what": _("read {value} mm").format(value=figure(reading.value)),
                "verdict": reading.decision,
            }


def _pieces(pieces: tuple[float, ...]) -> str:
    return _("{pieces} mm").format(pieces=" + ".join(figure(piece) for piece in pieces))
