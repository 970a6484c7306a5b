"""The elevation of a doorset record, stored or only tried out."""

from typing import Any

from jobs.drawings import Elevation, elevation_data, elevation_svg
from jobs.models import Doorset


def elevation_facts(doorset: Doorset) -> dict[str, Any]:
    """Plain JSON that `jobs.drawings.Elevation.read` takes; part of a paper's frozen record."""
    system = doorset.profile_system
    return elevation_data(
        frame={"width": doorset.frame_width, "height": doorset.frame_height},
        system={
            "frame_face": system.frame_face,
            "sash_face": system.sash_face,
            "leaf_gap": system.leaf_gap,
        },
        fold=(doorset.left_leaves, doorset.right_leaves),
        opens=doorset.opens,
        leaves=doorset.calculation["leaves"],
    )


def drawn(doorset: Doorset) -> str:
    """The drawing itself, as SVG."""
    return elevation_svg(Elevation.read(elevation_facts(doorset)))
