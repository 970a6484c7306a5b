"""What papers' records hold of defects and concessions."""

from dataclasses import dataclass

from jobs.frozen import Plain
from reports.papers.frozen.job import PhotoFacts


@dataclass(frozen=True, slots=True)
class EvidenceFacts:
    """What the office closed a defect on: SHA-256s of its photos, `photo_before` None where a
    failed reading stands for it, and when its step had passed again, None where it has none."""

    photo_before: str | None
    photo_after: str
    read_since: str | None


@dataclass(frozen=True, slots=True)
class DefectFacts:
    """`opening` and `step` are numbers, `place` is as `installs.defect_places` reads it; what was
    not done yet is None or empty. `evidence` is None where somebody looked at it on site.
    `signed_for`: whether the customer accepted it as still to come at the handover."""

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
    evidence: EvidenceFacts | None
    to_come_by: str | None
    to_come_promise: str
    signed_for: bool
    found_after_handover: bool


def without_places_of_defects(paper: Plain) -> Plain:
    """Formats of defect reports up to 2, and of certificates up to 5, did not say where on the
    doorset a defect is."""
    return paper | {"defects": [{"place": "", **one} for one in paper["defects"]]}


def without_evidence_and_words(paper: Plain) -> Plain:
    """Formats of defect reports up to 3, and of certificates up to 6, knew no defect that was left
    to come or closed on evidence, and named what was conceded by its code."""
    untold: Plain = {
        "evidence": None,
        "to_come_by": None,
        "to_come_promise": "",
        "signed_for": False,
        "found_after_handover": False,
    }
    defects = [untold | one for one in paper["defects"]]
    concessions = [{"asked": "", "found": ""} | one for one in paper["concessions"]]
    return paper | {"defects": defects, "concessions": concessions}


@dataclass(frozen=True, slots=True)
class ReportedDefect(DefectFacts):
    """What a defect report says of a defect beyond what a certificate says."""

    step_title: str
    responsible: str
    photos: tuple[PhotoFacts, ...]


@dataclass(frozen=True, slots=True)
class ConcessionFacts:
    """`opening` and `step` are numbers, `place` is as its blocker named it, `defect` is the
    description of the one accepted. `asked` and `found` say what was in the way and why, in words;
    empty in papers from before they did."""

    opening: int
    code: str
    place: str
    step: int | None
    defect: str | None
    asked: str
    found: str
    reason: str
    accepted_by: str
    accepted_at: str
