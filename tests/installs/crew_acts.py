"""What a crew records in its schedules: acts in threads, each of them in its order."""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Any
from uuid import UUID, uuid4, uuid5

from installs.models import Installation, PlanStep
from surveys.models import Instrument
from tests import walker
from tests.installs.queue_session import evidence

# A tape whose calibration has run out.
OVERDUE = "Overdue tape"


@dataclass(frozen=True)
class Act:
    """One thing to record. `mistyped` is what is typed at first and refused, `version` what a
    change is based on, `adds` whether doing it twice would be two things. What is `hopeless` is
    always refused, and set aside by its person or by the service. What `answers` a failure is a
    reading of its own where somebody else sent the same before that failure arrived."""

    kind: str
    body: dict[str, Any]
    record: str = field(default_factory=lambda: str(uuid4()))
    version: int | None = None
    mistyped: dict[str, Any] = field(default_factory=dict)
    adds: bool = False
    hopeless: bool = False
    answers: bool = False
    follows: tuple[str, ...] = ()


Thread = list[Act]


def at_the_start(installation: Installation, instrument: Instrument) -> Iterator[Thread]:
    """The first steps, each of which waits for those before it, and the beads that come off."""
    for step in walker.steps_before(installation, "diagonals"):
        for entry in walker.entries_beside(step):
            yield [_bead(entry.subject, **entry.place)]
        yield [_step(step, instrument)]


def at_the_gear(installation: Installation, instrument: Instrument) -> Iterator[Thread]:
    """A frame that bows again after all was good: gaps wait until it is right."""
    bow = installation.steps.get(code="bow")
    failed = _step(bow, instrument, left_jamb_middle=5)
    defect = str(uuid5(UUID(failed.record), "defect"))
    own = {"installation": str(installation.pk)}
    yield [
        failed,
        Act("put_defect_right", {"how": "eased at the head"}, defect, 1),
        replace(_step(bow, instrument), answers=True),
    ]
    junctions = [junction.number for junction in installation.plan.junctions]
    tape = {"instrument": str(instrument.pk), **walker.GAP}
    for junction in junctions:
        body = own | tape | {"junction": junction}
        wrong = {"sill_gap": 444} if junction == junctions[-1] else {}
        yield [Act("record_gap", body, mistyped=wrong)]
    yield [Act("record_gap", own | tape | {"junction": junctions[-1] + 1}, hopeless=True)]
    # The service sets aside by itself what proves nothing; a newer phone says what it cannot know.
    overdue = {"instrument": str(Instrument.objects.get(name=OVERDUE).pk)}
    yield [Act("record_gap", own | tape | overdue | {"junction": junctions[0]}, hopeless=True)]
    yield [Act("weigh_sash", own | {"leaf": 1, "mass": 31.5}, hopeless=True)]
    scratch = {"severity": "minor", "description": "Scratch on a bead"}
    yield [
        Act("report_defect", own | scratch, mistyped={"severity": "cosmetic"}, adds=True),
    ]
    yield [_step(installation.steps.get(code="running_gear"), instrument)]


def _step(step: PlanStep, instrument: Instrument, **readings: float) -> Act:
    return Act("inspect_step", evidence(step, instrument, **readings))


def _bead(installation: Any, leaf: int, side: str) -> Act:
    body = {"installation": str(installation.pk), "number": f"{leaf}{side[0]}"}
    return Act("take_bead_off", body | {"leaf": leaf, "side": side})
