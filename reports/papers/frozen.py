"""What papers' records hold; lengths in mm.

A paper may be asked for under one version of the service and drawn under a later one, or compared
with a later edition. So its record has a format number like every other frozen record: an upgrade
brings an older one to what the drafts of papers expect.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from jobs.frozen import FrozenKind, Plain
from surveys.arithmetic.answers import Knot, Verdict, WholeSize
from surveys.arithmetic.placement import Clearance, JointWidth, Placement


@dataclass(frozen=True, slots=True)
class DrawnInputs:
    """Of the inputs of a fit decision, what its drawing needs."""

    frame: WholeSize
    clearance: Clearance
    maximum_joint: float


@dataclass(frozen=True, slots=True)
class DrawnAnswer:
    """Of the answer of a fit decision, what its drawing needs."""

    placement: Placement
    outline: tuple[Knot, ...]
    joint_profile: tuple[JointWidth, ...]
    verdict: Verdict
    probability_fits: float


@dataclass(frozen=True, slots=True)
class DrawnFit:
    """How the frame stands in the opening, as `surveys.drawings.FittedOpening.read` takes it."""

    inputs: DrawnInputs
    answer: DrawnAnswer


# By `Document.Kind`. A record is built of mappings and of dataclasses of what is frozen already,
# and read as plain JSON, which is attached to the paper as it is stored.
PAPERS: Mapping[str, FrozenKind[Plain]] = {
    kind: FrozenKind(f"record of a {kind.replace('_', ' ')}", dict)
    for kind in ("survey_sheet", "fitting_pack", "defect_report", "completion_certificate")
}
