"""What a certificate's record holds of a fitting; lengths in mm."""

from dataclasses import dataclass

from msgspec import UNSET, UnsetType

from installs.arithmetic.criteria import PlacedValue
from jobs.frozen import Plain
from reports.papers.frozen.job import InstrumentFacts


@dataclass(frozen=True, slots=True)
class CheckFacts:
    check: str
    in_order: bool


@dataclass(frozen=True, slots=True)
class InspectionReading:
    """A number that was judged; `measured` lists what was read for it, in the order in which it is
    read along the frame. The uncertainty of what was counted is 0."""

    place: str
    value: float
    unit: str
    lower: float | None
    upper: float | None
    standard_uncertainty: float
    probability_conforms: float
    decision: str
    measured: tuple[PlacedValue, ...]


@dataclass(frozen=True, slots=True)
class SealedAt:
    """C, of the faces of a joint, and the dew point of the air beside them; None where they were
    not read. `use_by` of the sealant in ISO 8601."""

    surface: float | None
    dew_point: float | None
    use_by: str | None


@dataclass(frozen=True, slots=True)
class InspectionFacts:
    """`number`, `code` and `title` are those of the step; `counts` marks its newest inspection.
    `shortfalls`: what failed it beside readings and checks, in words. `sealed` is left out where no
    conditions were read, and in papers from before they were."""

    number: int
    code: str
    title: str
    inspector: str
    made_at: str
    instrument: InstrumentFacts | None
    outcome: str
    counts: bool
    acknowledged: bool
    count: int | None
    checks: tuple[CheckFacts, ...]
    sealant_class: float | None
    return_on: str | None
    lifted_with: str
    note: str
    readings: tuple[InspectionReading, ...]
    shortfalls: tuple[str, ...]
    sealed: SealedAt | UnsetType = UNSET


@dataclass(frozen=True, slots=True)
class FixingFacts:
    """`packers` beside it, each by its thickness."""

    position: float
    kind: str
    packers: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class MemberFixings:
    """Planned positions from a member's left or foot end, and what was fixed."""

    member: str
    planned: tuple[float, ...]
    fixed: tuple[FixingFacts, ...]


@dataclass(frozen=True, slots=True)
class GapFacts:
    """`limit` is that of the difference, `together_limit` of what both are off twice the leaf gap,
    None where that was not judged; `counts` marks the newest reading of a junction."""

    junction: int
    head_gap: float
    sill_gap: float
    standard_uncertainty: float
    limit: float
    probability_conforms: float
    decision: str
    instrument: InstrumentFacts | None
    counts: bool
    leaf_gap: float | None
    together_limit: float | None


@dataclass(frozen=True, slots=True)
class LiftFacts:
    junction: int
    chain: str
    turns: float
    lift: float


@dataclass(frozen=True, slots=True)
class PackerChangeFacts:
    """Pieces added and taken out beside a fixing, each by its thickness."""

    member: str
    position: float
    added: tuple[float, ...]
    taken: tuple[float, ...]
    fitter: str
    made_at: str


@dataclass(frozen=True, slots=True)
class SashFacts:
    leaf: int
    beads_back: int
    blocks_set: bool
    brace_set: bool
    glass_marking: str


@dataclass(frozen=True, slots=True)
class FittingFacts:
    inspections: tuple[InspectionFacts, ...]
    fixings: tuple[MemberFixings, ...]
    gaps: tuple[GapFacts, ...]
    packer_changes: tuple[PackerChangeFacts, ...]
    lifts: tuple[LiftFacts, ...]
    sashes: tuple[SashFacts, ...]


def gaps_judged_by_difference_alone(certificate: Plain) -> Plain:
    """Format 1 is from before gaps were held to the leaf gap as well."""
    unjudged = {"leaf_gap": None, "together_limit": None}
    doorsets = [
        {**doorset, "gaps": [{**unjudged, **gap} for gap in doorset["gaps"]]}
        for doorset in certificate["doorsets"]
    ]
    return certificate | {"doorsets": doorsets}


def without_packer_changes(record: Plain) -> Plain:
    """Packers that were changed were not on record before."""
    doorsets = [{"packer_changes": [], **doorset} for doorset in record["doorsets"]]
    return record | {"doorsets": doorsets}
