"""The elevation of a doorset record, stored or only tried out."""

from typing import Literal, cast

from jobs.drawings import DrawnLeaf, Elevation, elevation_svg
from jobs.models import Doorset


def elevation_of(doorset: Doorset) -> Elevation:
    """What its drawing needs to know of a doorset; mm."""
    system = doorset.profile_system
    return Elevation(
        frame_width=doorset.frame_width,
        frame_height=doorset.frame_height,
        frame_face=system.frame_face,
        sash_face=system.sash_face,
        leaf_gap=system.leaf_gap,
        left_leaves=doorset.left_leaves,
        right_leaves=doorset.right_leaves,
        opens=cast(Literal["out", "in"], doorset.opens),
        leaves=tuple(
            DrawnLeaf(leaf.number, leaf.width, leaf.height, leaf.hinge_side, leaf.access_leaf)
            for leaf in doorset.calculation.leaves
        ),
    )


def drawn(doorset: Doorset) -> str:
    """The drawing itself, as SVG."""
    return elevation_svg(elevation_of(doorset))
