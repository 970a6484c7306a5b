"""What an advice on packers says; lengths in mm. It loads without what works it out."""

from dataclasses import dataclass
from typing import Literal

from installs.arithmetic.packed_members import ReadingKind

ActKind = Literal["leave", "change_packers", "read_again", "finer_instrument", "no_packer_helps"]


@dataclass(frozen=True, slots=True)
class AdvisedChange:
    """`packers` are the pieces there afterwards; None where it is not known what is there."""

    at: float
    change: float
    added: tuple[float, ...]
    taken: tuple[float, ...]
    packers: tuple[float, ...] | None


@dataclass(frozen=True, slots=True)
class Deviation:
    """A number that the member is held to, as believed; of levels the greatest less the least."""

    kind: ReadingKind
    at: float | None
    value: float
    standard_uncertainty: float
    limit: float
    probability_within: float


@dataclass(frozen=True, slots=True)
class PredictedReading:
    """What the next reading will be, give or take; heights above that of the first place read."""

    kind: ReadingKind
    at: float | None
    value: float
    expanded_uncertainty: float


@dataclass(frozen=True, slots=True)
class PackerAct:
    """`changes` are made all before it is read again; `probability_within` is that after them."""

    kind: ActKind
    changes: tuple[AdvisedChange, ...]
    probability_within: float
    predicted: tuple[PredictedReading, ...]


@dataclass(frozen=True, slots=True)
class PackerAdvice:
    """`probability_within` is that of the limits whose kind was read. `readings_agree` is False
    where the newest ones do not follow from those before and the changes on record."""

    member: str
    within_limits: bool
    probability_within: float
    confidence: float
    readings_agree: bool
    deviations: tuple[Deviation, ...]
    act: PackerAct
