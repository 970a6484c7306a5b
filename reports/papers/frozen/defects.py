"""What papers' records hold of defects and concessions."""

from dataclasses import dataclass

from jobs.frozen import Plain
from reports.papers.frozen.job import PhotoFacts


@dataclass(frozen=True, slots=True)
class DefectFacts:
    """`opening` and `step` are numbers, `place` is as `installs.defect_places` reads it; what was
    not done yet is None or empty."""

    opening: int
    step: int | None
    place: str
    severity: str
    description: str
    found_by: str
    found_at: str
    put_right_by: str | None
    put_right_at: str | None
    put_right_how: str
    reinspected_by: str | None
    reinspected_at: str | None
    reinspection_note: str
    closed_at: str | None
    conceded: bool


def without_places_of_defects(paper: Plain) -> Plain:
    """Formats of defect reports up to 2, and of certificates up to 5, did not say where on the
    doorset a defect is."""
    return paper | {"defects": [{"place": "", **one} for one in paper["defects"]]}


@dataclass(frozen=True, slots=True)
class ReportedDefect(DefectFacts):
    """What a defect report says of a defect beyond what a certificate says."""

    step_title: str
    responsible: str
    photos: tuple[PhotoFacts, ...]


@dataclass(frozen=True, slots=True)
class ConcessionFacts:
    """`opening` and `step` are numbers, `place` is as its blocker named it, `defect` is the
    description of the one accepted."""

    opening: int
    code: str
    place: str
    step: int | None
    defect: str | None
    reason: str
    accepted_by: str
    accepted_at: str
