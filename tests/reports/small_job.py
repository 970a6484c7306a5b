"""One opening, a doorset of two leaves, and every deed on the way to its certificate.

Each deed is one call of one service, right or wrong as it is told; whether its time has come is for
the service to say.
"""

from math import hypot
from typing import Any

from installs.models import Defect, Installation, PlanStep
from installs.services.concessions import concede
from installs.services.defects import put_right, record_defect, reinspect
from installs.services.fitting import change_sash
from installs.services.handing_over import hand_over
from installs.services.inspecting import inspect_step
from installs.services.installing import plan_installation
from installs.services.replanning import replan_installation
from jobs.idempotency import IdempotencyKey
from jobs.models import Doorset
from reports.services.documents import issue_certificate
from surveys.models import Survey
from surveys.services.orders import order_doorset
from surveys.services.surveys import accept_survey
from tests import factories, walker

WIDTH, HEIGHT = 1812, 2115
FRAME = {"width": 1790, "height": 2100}
DIAGONAL = round(hypot(WIDTH, HEIGHT))
FIRST, AGAIN = Survey.Stage.FIRST, Survey.Stage.BEFORE_REMOVAL


def readings(diagonal: int = DIAGONAL) -> dict[str, Any]:
    return factories.READINGS | {
        "widths": [{"at": at, "value": WIDTH} for at in (100, 1050, 2000)],
        "heights": [{"at": at, "value": HEIGHT} for at in (100, 900, 1700)],
        "diagonals": {"rising": diagonal, "falling": DIAGONAL},
        "sill_levels": [{"at": at, "value": 0} for at in (0, 906, WIDTH)],
        **factories.flat_and_square(WIDTH, HEIGHT),
    }


class SmallJob:
    def __init__(self) -> None:
        self.office = factories.person("office")
        self.fitter = factories.person("fitter")
        self.mate = factories.person("fitter")
        self.job = factories.job(self.office)
        self.opening = factories.opening(self.office, self.job)
        self.drafted = factories.doorset(self.office, self.opening, fold="2-2-0", frame=FRAME)
        surveyor = factories.person("surveyor")
        self.visits = {
            FIRST: factories.visit(self.office, self.job, "survey", surveyor),
            AGAIN: factories.visit(self.office, self.job, "fitting", self.fitter, self.mate),
        }
        self.tape = factories.instrument(self.office)
        self.laser = factories.instrument(self.office, name="Laser", **factories.LASER)
        self.gauge = factories.instrument(
            self.office, kind="gauge", expanded_uncertainty=0.2, coverage_factor=2
        )

    # What there is

    @property
    def doorset(self) -> Doorset:
        return Doorset.objects.get(pk=self.drafted.pk)

    @property
    def installation(self) -> Installation | None:
        return Installation.objects.filter(doorset=self.drafted).first()

    def newest_survey(self, stage: str) -> Survey | None:
        return self.opening.surveys.filter(stage=stage).order_by("-created_at").first()

    @property
    def open_defects(self) -> list[Defect]:
        return list(Defect.objects.open().filter(installation__doorset=self.drafted))

    # Before the fitting

    def survey(self, stage: str, *, sound: bool) -> None:
        factories.survey(
            self.office,
            self.opening,
            stage=stage,
            visit=self.visits[stage],
            instrument=self.tape,
            level_instrument=self.laser,
            readings=readings() if sound else readings(DIAGONAL + 400),
        )

    def accept(self, survey: Survey) -> None:
        accept_survey(actor=self.office, survey=survey, expected_version=survey.version)

    def decide(self, survey: Survey) -> None:
        factories.fit_decision(self.office, survey, self.doorset)

    def order(self) -> None:
        doorset = self.doorset
        order_doorset(actor=self.office, doorset=doorset, expected_version=doorset.version)

    def deliver(self, **otherwise: Any) -> None:
        factories.delivery(self.office, self.doorset, **otherwise)

    def plan(self) -> None:
        visit = self.visits[AGAIN]
        plan_installation(
            actor=self.fitter, idempotency_key=IdempotencyKey(), doorset=self.doorset, visit=visit
        )

    def plan_anew(self, installation: Installation) -> None:
        replan_installation(
            actor=self.office,
            installation=installation,
            expected_version=installation.version,
            reason="The crew came with other packers",
        )

    # The fitting

    def inspect(self, step: PlanStep, *, sound: bool) -> None:
        given = factories.evidence(self.fitter, step)
        if not sound:
            given |= _not_in_order(given)
        inspect_step(actor=self.fitter, idempotency_key=IdempotencyKey(), step=step, **given)

    def fix(self, installation: Installation, member: str, position: float, kind: str) -> None:
        factories.fixing(self.fitter, installation, member=member, position=position, kind=kind)

    def read_gaps(self, installation: Installation, junction: int, *, even: bool) -> None:
        factories.gap(
            self.fitter,
            installation,
            junction,
            instrument=self.gauge,
            sill_gap=4 if even else 9,
        )

    def glaze(self, installation: Installation, leaf: int, *, whole: bool) -> None:
        work = walker.SASH | {"brace_set": whole}
        if sash := installation.sashes.filter(leaf=leaf).first():
            change_sash(actor=self.fitter, sash=sash, expected_version=sash.version, **work)
        else:
            factories.sash(self.fitter, installation, leaf, **work)

    # Settling and closing

    def find_defect(self, installation: Installation, severity: str) -> None:
        record_defect(
            actor=self.fitter,
            idempotency_key=IdempotencyKey(),
            installation=installation,
            severity=severity,
            description="Something that is not as it must be",
        )

    def put_right(self, defect: Defect) -> None:
        put_right(
            actor=self.fitter, defect=defect, expected_version=defect.version, how="Made good"
        )

    def look_again(self, defect: Defect, *, accepted: bool, by_mate: bool = True) -> None:
        reinspect(
            actor=self.mate if by_mate else self.fitter,
            defect=defect,
            expected_version=defect.version,
            accepted=accepted,
            note="" if accepted else "It is still there",
        )

    def concede(self, installation: Installation, code: str, defect: Defect | None) -> None:
        concede(
            actor=self.office,
            idempotency_key=IdempotencyKey(),
            installation=installation,
            code=code,
            defect=defect if code == "minor_defect" else None,
            reason="Nobody minds",
        )

    def hand_over(self, *, with_keys: bool = True) -> None:
        installation = self.installation
        hand_over(
            actor=self.fitter,
            idempotency_key=IdempotencyKey(),
            job=self.job,
            customer_name="Oona Quill",
            keys={str(installation.pk): 2} if installation and with_keys else {},
            demonstrated=True,
            care_given=True,
            unsigned_because="Signed on paper",
        )

    def ask_for_certificate(self) -> None:
        issue_certificate(actor=self.office, idempotency_key=IdempotencyKey(), job=self.job)


def _not_in_order(given: dict[str, Any]) -> dict[str, Any]:
    """The evidence of a step turned bad: everything far off, nothing good, nothing done."""
    bad: dict[str, Any] = {"note": "Not as it must be"}
    if "readings" in given:
        bad["readings"] = [
            type(reading)(reading.place, reading.value + 60) for reading in given["readings"]
        ]
    if "checks" in given:
        bad["checks"] = dict.fromkeys(given["checks"], False)
    if "acknowledged" in given:
        bad["acknowledged"] = False
    return bad
