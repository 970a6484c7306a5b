"""Whether a document is genuine and still valid, for whoever has its code.

The journal says so, never the row: its digest and what became of it are read off the chain of its
job. Where the job's records contradict the journal, nothing that rests on them is confirmed.
"""

import hashlib
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Protocol

from django.db.models import QuerySet

from installs.models import Defect
from installs.services.handing_over import current_installations
from jobs.models import Job
from jobs.services.job_check import CheckedJob, check_job
from jobs.services.record_check import contradictions
from jobs.services.states import State
from reports.models import Document, TimeStamp

NOT_CONFIRMED = "not_confirmed"
# A genuine paper is none to rely on while a critical defect of what it certifies is open.
SAFETY_OPEN = "safety_open"
# A genuine paper that does not know of what was found since, and is not closed.
DEFECTS_SINCE = "defects_since"
STATUSES = ("genuine", DEFECTS_SINCE, SAFETY_OPEN, "superseded", "withdrawn", NOT_CONFIRMED)


class Upload(Protocol):
    def chunks(self) -> Iterable[bytes]: ...


@dataclass(frozen=True, slots=True)
class SafetyMatter:
    """A critical defect that is open: number of its opening, and since when. What it is the firm
    says to those whose doorset it is."""

    opening: int
    reported_at: datetime


@dataclass(frozen=True, slots=True)
class DefectsSince:
    """How many defects of a severity were found since the paper was made and are open. What they
    are the firm says to those whose doorset it is."""

    severity: str
    count: int


@dataclass(frozen=True, slots=True)
class VerifiedPaper:
    """A paper that was made, as the journal has it; `status` is one of `STATUSES`.

    `agrees` says whether its file and its job are what the journal says; `stamped` are the SHA-256s
    of the files in which it was stamped with later times.
    """

    title: str
    number: str
    edition: int
    kind: str
    status: str
    safety_matters: list[SafetyMatter]
    defects_since: list[DefectsSince]
    rendered_at: datetime
    sha256: str
    superseded_at: datetime | None
    withdrawn_at: datetime | None
    withdrawal_reason: str
    stamped: frozenset[str]
    agrees: bool

    def compare(self, sha256: str) -> str:
        """Whether a file of this digest is the one that was made, or the one stamped since."""
        if sha256 not in {self.sha256, *self.stamped}:
            return "different"
        return "identical" if self.agrees else NOT_CONFIRMED


def find_paper(code: str) -> VerifiedPaper | None:
    """The paper that carries this code, once it has been made; None for every other code, and for
    a row of which the journal does not say that it was made."""
    document = Document.objects.made().select_related("job").filter(verification_code=code).first()
    if document is None:
        return None
    checked = check_job(document.job, files=False)
    state = checked.state_of(document)
    if state is None or state["rendered_at"] is None:
        return None
    stamps = _stamps(checked, document)
    contradicting = (
        checked.contradictions
        or contradictions(Document, [str(document.pk)])
        or contradictions(TimeStamp, list(stamps))
    )
    certifies = state["kind"] == Document.Kind.COMPLETION_CERTIFICATE
    matters = _safety_matters(document.job) if certifies else []
    since = _defects_since(document) if certifies else []
    return VerifiedPaper(
        title=str(Document.Kind(state["kind"]).label),
        number=state["number"],
        edition=state["edition"],
        kind=state["kind"],
        status=_status(state, matters, since, agrees=not contradicting),
        safety_matters=matters,
        defects_since=since,
        rendered_at=datetime.fromisoformat(state["rendered_at"]),
        sha256=state["sha256"],
        superseded_at=_moment(state["superseded_at"]),
        withdrawn_at=_moment(state["withdrawn_at"]),
        withdrawal_reason=state["withdrawal_reason"],
        stamped=frozenset(stamp["sha256"] for stamp in stamps.values() if stamp["sha256"]),
        agrees=not contradicting,
    )


def open_safety_matters(job: Job) -> QuerySet[Defect]:
    """Critical defects of what is fitted now that nobody has closed."""
    fitted = current_installations(job).values("pk")
    of_job = Defect.objects.open().filter(installation__in=fitted)
    critical = of_job.filter(severity=Defect.Severity.CRITICAL)
    return critical.select_related("installation__doorset__opening").order_by("created_at", "id")


def open_defects(job: Job) -> QuerySet[Defect]:
    """Of what is fitted now: found, not closed, and not accepted as they are."""
    fitted = current_installations(job).values("pk")
    return Defect.objects.open().filter(installation__in=fitted, concession=None)


def _defects_since(document: Document) -> list[DefectsSince]:
    """The gravest first. What the paper itself lists, as still to come, is none of them."""
    since = open_defects(document.job).filter(created_at__gt=document.created_at)
    found = Counter(since.values_list("severity", flat=True))
    return [
        DefectsSince(severity, found[severity])
        for severity in Defect.Severity.values
        if found[severity]
    ]


def _safety_matters(job: Job) -> list[SafetyMatter]:
    return [
        SafetyMatter(matter.installation.doorset.opening.number, matter.created_at)
        for matter in open_safety_matters(job)
    ]


def _stamps(checked: CheckedJob, document: Document) -> dict[str, State]:
    """The later times of a paper by their keys, as the journal has them."""
    stamps = checked.entries.get(TimeStamp._meta.label_lower, {})
    states = {key: written[-1].state for key, written in stamps.items()}
    return {key: state for key, state in states.items() if state["document"] == str(document.pk)}


def _status(
    state: dict[str, Any],
    matters: list[SafetyMatter],
    since: list[DefectsSince],
    *,
    agrees: bool,
) -> str:
    """Withdrawal outweighs everything else, and what can hurt somebody any doubt about records."""
    if state["withdrawn_at"]:
        return Document.Status.WITHDRAWN.value
    if state["superseded_at"]:
        return Document.Status.SUPERSEDED.value
    if matters:
        return SAFETY_OPEN
    if not agrees:
        return NOT_CONFIRMED
    return DEFECTS_SINCE if since else Document.Status.GENUINE.value


def _moment(text: str | None) -> datetime | None:
    return datetime.fromisoformat(text) if text else None


def sha256_of(upload: Upload) -> str:
    """SHA-256 of an uploaded file as hexadecimal, read piece by piece."""
    digest = hashlib.sha256()
    for chunk in upload.chunks():
        digest.update(chunk)
    return digest.hexdigest()
