"""Why a service refuses, in words of the trade. The API turns each into a problem document."""

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from django.utils.translation import gettext as _

from jobs.blockers import BlockerCode
from jobs.code_labels import code_label
from jobs.translation import translated


class DomainError(Exception):
    """Base of every reason for which a service leaves the records as they were."""


class InvalidField(DomainError):
    """One field of a request cannot be used; `pointer` is its JSON pointer (RFC 6901)."""

    def __init__(self, pointer: str, detail: str) -> None:
        super().__init__(f"{pointer}: {detail}")
        self.pointer = pointer
        self.detail = detail


class UnfitInstrument(InvalidField):
    """A reading of an instrument that proves nothing. No typing mends that: what was read on site
    is kept, set aside, and read again with another one."""


class ClockDisagrees(InvalidField):
    """The time that something was made at cannot be, by the service's clock, `server_time`."""

    def __init__(self, detail: str, server_time: datetime) -> None:
        now = server_time.astimezone(UTC).isoformat(timespec="seconds")
        super().__init__(
            "/made_at", _("{detail}; the server's clock says {now}").format(detail=detail, now=now)
        )
        self.server_time = now


class Conflict(DomainError):
    """The request contradicts what is stored; `record` names the other record, if there is one."""

    def __init__(self, detail: str, record: dict[str, Any] | None = None) -> None:
        super().__init__(detail)
        self.detail = detail
        self.record = record


class VersionConflict(DomainError):
    """Somebody else changed the record since the version this change was based on."""

    def __init__(self, current_version: int) -> None:
        text = _("the record is now at version {version}")
        super().__init__(text.format(version=current_version))
        self.current_version = current_version


class StorageFull(DomainError):
    """The disk is full, so a file cannot be kept."""

    def __init__(self) -> None:
        super().__init__(_("there is no room for more files; tell the office, then send it again"))


class ContradictsJournal(DomainError):
    """Records are not what the journal says; `places` names where."""

    def __init__(self, places: list[str]) -> None:
        text = _("not what the journal says: {places}")
        super().__init__(text.format(places="; ".join(places)))


class Unavailable(DomainError):
    """Something that the service cannot do without does not answer; the same may work soon."""


@dataclass(frozen=True, slots=True)
class Blocker:
    """One thing that keeps a gate closed: `what` is to be done, `why`, and on which record.

    `kind` is the condition; `concedable` says whether the office may accept it as it is. A step
    that has not passed says which by `step`, its code in the plan. `place` tells it from others of
    the code at the same record: a concession names both.
    """

    kind: BlockerCode
    what: str
    why: str
    record: dict[str, str]
    concedable: bool = False
    step: str = ""
    place: str = ""

    @property
    def code(self) -> str:
        """What a concession refers to."""
        return self.step or self.kind.value


class GateClosed(DomainError):
    """A gate that still has blockers in its way."""

    def __init__(self, gate: str, blockers: list[Blocker]) -> None:
        reasons = "; ".join(dict.fromkeys(translated(blocker.what) for blocker in blockers))
        text = _("the gate “{gate}” is closed: {reasons}")
        super().__init__(text.format(gate=code_label(gate), reasons=reasons))
        self.gate = gate
        self.blockers = blockers


def named(record: Any) -> dict[str, str]:
    """How a blocker or a conflict points at a record."""
    return {"kind": record._meta.model_name, "id": str(record.pk), "name": str(record)}
