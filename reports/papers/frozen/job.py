"""What every paper's record holds of its firm and its job, and the parts that papers share.

Days and moments are ISO 8601, moments in UTC.
"""

from dataclasses import dataclass
from typing import Any

from msgspec import UNSET, UnsetType

from jobs.rules import BorrowedRules


@dataclass(frozen=True, slots=True)
class EditionFacts:
    """The paper itself."""

    number: str
    edition: int
    issued_at: str
    verification_address: str


@dataclass(frozen=True, slots=True)
class FirmFacts:
    name: str
    address: str
    email: str
    telephone: str


@dataclass(frozen=True, slots=True)
class JobFacts:
    reference: str
    title: str


@dataclass(frozen=True, slots=True)
class CustomerFacts:
    name: str


@dataclass(frozen=True, slots=True)
class SiteFacts:
    """`address` by its lines; `access_notes` are for the crew's paper alone."""

    address: tuple[str, ...]
    access_notes: str | UnsetType = UNSET


@dataclass(frozen=True, slots=True)
class RuleFacts:
    """`value` is a limit or the rows of a banded one; `decided_by` is left out where that is the
    rule set of the job."""

    name: str
    value: Any
    unit: str
    source: str
    standing: str
    decided_by: str | UnsetType = UNSET


@dataclass(frozen=True, slots=True)
class RuleSetFacts:
    """`rules` are those whose limits the paper lists."""

    name: str
    title: str
    issued_on: str
    sha256: str
    confidence: float
    rules: tuple[RuleFacts, ...]
    rules_from_newer_sets: BorrowedRules = UNSET


@dataclass(frozen=True, slots=True)
class JournalFacts:
    """`seal_root` is None where nothing has been sealed yet.

    `checkpoint` is the signed note of the newest seal and `checkpoint_key` what it is verified
    with; `signing_certificates` are the SHA-256s of what the paper is signed with. All three are
    left out in records from before there were any, and `time_authority`, the host that is asked to
    stamp the time, where none is.
    """

    entries: int
    head: str
    seal_root: str | None
    checkpoint: str | UnsetType = UNSET
    checkpoint_key: str | UnsetType = UNSET
    signing_certificates: tuple[str, ...] | UnsetType = UNSET
    time_authority: str | UnsetType = UNSET


@dataclass(frozen=True, slots=True)
class PaperRecord:
    """What the records of all papers begin with."""

    paper: EditionFacts
    firm: FirmFacts
    job: JobFacts
    customer: CustomerFacts
    site: SiteFacts
    rule_set: RuleSetFacts
    journal: JournalFacts


@dataclass(frozen=True, slots=True)
class OpeningFacts:
    number: int
    name: str


@dataclass(frozen=True, slots=True)
class InstrumentFacts:
    """An instrument as it was when it was read: a tape by its class, the others by their expanded
    uncertainty, mm."""

    name: str
    kind: str
    serial: str
    accuracy_class: str
    expanded_uncertainty: float | None
    coverage_factor: float | None
    calibration_due: str


@dataclass(frozen=True, slots=True)
class PhotoFacts:
    """`of` is `survey` or `site`."""

    id: str
    of: str
    caption: str
    added_at: str
    sha256: str
