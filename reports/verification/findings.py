"""What is said of a paper: what holds, what is broken, and what cannot be known from it."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from jobs.sentences import Sentence


class Standing(StrEnum):
    HOLDS = "holds"
    BROKEN = "broken"
    UNKNOWN = "unknown"


class Verdict(StrEnum):
    """`INCOMPLETE` where nothing is broken and the file lacks what ties it to a journal."""

    HOLDS = "holds"
    BROKEN = "broken"
    INCOMPLETE = "incomplete"


@dataclass(frozen=True, slots=True)
class Finding:
    """`about` names what was looked at; `is_missing` where the file should carry it."""

    about: str
    standing: Standing
    says: Sentence
    is_missing: bool = False


def holds(about: str, says: Sentence) -> Finding:
    return Finding(about, Standing.HOLDS, says)


def broken(about: str, says: Sentence) -> Finding:
    return Finding(about, Standing.BROKEN, says)


def unknown(about: str, says: Sentence) -> Finding:
    return Finding(about, Standing.UNKNOWN, says)


def missing(about: str, says: Sentence) -> Finding:
    return Finding(about, Standing.UNKNOWN, says, is_missing=True)


def verdict_of(findings: Iterable[Finding]) -> Verdict:
    findings = list(findings)
    if any(finding.standing == Standing.BROKEN for finding in findings):
        return Verdict.BROKEN
    if any(finding.is_missing for finding in findings):
        return Verdict.INCOMPLETE
    return Verdict.HOLDS
