"""One opening, a doorset of two leaves, and every deed on the way to its certificate.

Each deed is one call of one service, right or wrong as it is told; whether its time has come is for
the service to say.
"""

from collections.abc import Callable
from datetime import date, datetime, timedelta
from functools import partial
from math import hypot
from typing import Any
from uuid import uuid4

from django.utils import timezone

from installs.models import Defect, Inspection, Installation, PlanStep
from installs.services.concessions import concede
from installs.services.defects import close_on_evidence, put_right, record_defect, reinspect
from installs.services.fitting import change_sash
from installs.services.handing_over import hand_over
from installs.services.inspecting import inspect_step
from installs.services.installing import plan_installation
from installs.services.leaving_out import leave_out
from installs.services.photos import add_site_photo
from installs.services.replanning import replan_installation
from installs.services.still_to_come import leave_to_come
from installs.services.sync import OperationHandler, SentOperation, apply_operation
from jobs.idempotency import IdempotencyKey
from jobs.models import Doorset, Opening, ProfileSystem, Record, Visit
from jobs.services import diary
from jobs.services.catalogue import change_profile_system
from jobs.services.phone_clock import PhoneTime
from reports.models import Document
from reports.services.documents import issue_certificate, withdraw_document
from reports.services.making import store_paper
from surveys.models import Photo, Survey
from surveys.services.orders import order_doorset
from surveys.services.surveys import accept_survey
from tests import factories, walker
from tests.pictures import picture, picture_that_shows_something

WIDTH, HEIGHT = 1812, 2115
FRAME = {"width": 1794, "height": 2106}
FAR_OFF = 20  # mm, beyond every limit of a step, and not beyond what can be
DIAGONAL = round(hypot(WIDTH, HEIGHT))
CERTIFICATE = Document.Kind.COMPLETION_CERTIFICATE
FIRST, AGAIN = Survey.Stage.FIRST, Survey.Stage.BEFORE_REMOVAL


def readings(rising: int = 0, *, width: int = WIDTH) -> dict[str, Any]:
    diagonal = round(hypot(width, HEIGHT))
    return factories.READINGS | {
        "widths": [{"at": at, "value": width} for at in (100, 1050, 2000)],
        "heights": [{"at": at, "value": HEIGHT} for at in (100, 900, 1700)],
        "diagonals": {"rising": rising or diagonal, "falling": diagonal},
        "sill_levels": [{"at": at, "value": 0} for at in (0, 906, width)],
        **factories.flat_and_square(width, HEIGHT),
    }


# How an opening can be surveyed: with which instrument, and what it reads.
SURVEYED = ("sound", "contradictory", "narrower", "by_gauge", "out_of_calibration")
READ_WITH = {"by_gauge": "gauge", "out_of_calibration": "expired"}
READINGS: dict[str, Callable[[], dict[str, Any]]] = {
    "contradictory": partial(readings, DIAGONAL + 400),
    # The right jamb stands 40 mm further in than anybody thought.
    "narrower": partial(readings, width=WIDTH - 40),
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
        self.second_crew = factories.crew(
            self.office, factories.person("fitter"), factories.person("fitter")
        )
        self.tape = factories.instrument(self.office)
        self.laser = factories.instrument(self.office, name="Laser", **factories.LASER)
        self.gauge = factories.instrument(
            self.office, kind="gauge", expanded_uncertainty=0.2, coverage_factor=2
        )
        yesterday = timezone.localdate() - timedelta(days=1)
        self.expired = factories.instrument(self.office, calibration_due=yesterday)

    # What there is

    @property
    def doorset(self) -> Doorset:
        return self.opening.doorsets.current().get()

    @property
    def installation(self) -> Installation | None:
        return Installation.objects.filter(doorset=self.doorset).first()

    def visit_of(self, stage: str) -> Visit:
        """The newest that was not cancelled, or the one that was booked first."""
        first = self.visits[stage]
        booked = self.job.visits.not_cancelled().filter(kind=first.kind)
        return booked.order_by("created_at").last() or first

    def newest_survey(self, stage: str) -> Survey | None:
        surveys = self.opening.surveys.filter(stage=stage)
        return surveys.order_by("-taken_at", "-created_at").first()

    @property
    def open_defects(self) -> list[Defect]:
        return list(Defect.objects.open().filter(installation__doorset__opening=self.opening))

    @property
    def certificate(self) -> Document | None:
        """The current one."""
        return self.job.documents.current().filter(kind=CERTIFICATE).first()

    # Before the fitting

    def survey(self, stage: str, how: str = "sound", **otherwise: Any) -> None:
        """One of `SURVEYED`."""
        told: dict[str, Any] = {
            "stage": stage,
            "visit": self.visit_of(stage),
            "instrument": getattr(self, READ_WITH.get(how, "tape")),
            "level_instrument": self.laser,
            "readings": READINGS.get(how, readings)(),
        }
        factories.survey(self.office, self.opening, **told | otherwise)

    def suspect(self, stage: str, statement: str, *, papers: bool, by_fitter: bool) -> None:
        """Asbestos, with words that clear it where there are any."""
        conditions = factories.CONDITIONS | {"asbestos_suspected": True}
        if statement:
            photos = Photo.objects.filter(survey__opening=self.opening) if papers else ()
            named = [str(photo.pk) for photo in photos]
            conditions |= {"asbestos_cleared": statement, "asbestos_papers": named}
        taker = {"surveyor": self.fitter} if by_fitter else {}
        self.survey(stage, conditions=conditions, **taker)

    def photograph_report(self) -> None:
        survey = self.opening.surveys.order_by("-created_at").first()
        if survey:
            factories.survey_photo(self.office, survey, caption="The analyst's report")

    def accept(self, survey: Survey) -> None:
        accept_survey(actor=self.office, survey=survey, expected_version=survey.version)

    def decide(self, survey: Survey) -> None:
        factories.fit_decision(self.office, survey, self.doorset)

    def order(self) -> None:
        doorset = self.doorset
        order_doorset(actor=self.office, doorset=doorset, expected_version=doorset.version)

    def deliver(self, doorset: Doorset | None = None, **otherwise: Any) -> None:
        factories.delivery(self.office, doorset or self.doorset, **otherwise)

    def revise(self) -> None:
        """After an order, as a revision of the same size."""
        system = self.doorset.profile_system
        factories.doorset(
            self.office, self.opening, fold="2-2-0", frame=FRAME, profile_system=system
        )

    def set_limits(self, **limits: float) -> None:
        system = ProfileSystem.objects.get(pk=self.doorset.profile_system_id)
        change_profile_system(
            actor=self.office,
            profile_system=system,
            expected_version=system.version,
            **limits,
        )

    def book(self, days: int, kind: str = "fitting") -> None:
        """The second crew; its day is booked elsewhere once it is booked here."""
        start = timezone.now() + timedelta(days=days, minutes=5)
        factories.visit(self.office, self.job, kind, crew=self.second_crew, start=start)

    def book_again(self, stage: str) -> None:
        """The crew of the visit that was moved, cancelled or ended, about now."""
        visit = self.visits[stage]
        start = timezone.now() + timedelta(minutes=5)
        factories.visit(self.office, self.job, visit.kind, crew=visit.crew, start=start)

    def change_visit(self, visit: Visit, deed: str) -> None:
        known: dict[str, Any] = {
            "actor": self.office,
            "visit": visit,
            "expected_version": visit.version,
        }
        if deed == "move":
            later = timedelta(days=3)
            diary.move_visit(**known, start=visit.start + later, end=visit.end + later)
        elif deed == "cancel":
            diary.cancel_visit(**known)
        else:
            diary.end_visit(**known)

    def add_opening(self) -> None:
        factories.opening(self.office, self.job, "Added later")

    def leave_out(self, opening: Opening) -> None:
        leave_out(
            actor=self.office,
            opening=opening,
            expected_version=opening.version,
            reason="The customer keeps the old doors there",
        )

    def plan(self) -> None:
        plan_installation(
            actor=self.fitter,
            idempotency_key=IdempotencyKey(),
            doorset=self.doorset,
            visit=self.visit_of(AGAIN),
        )

    def plan_anew(self, installation: Installation) -> None:
        replan_installation(
            actor=self.office,
            installation=installation,
            expected_version=installation.version,
            reason="The crew came with other packers",
        )

    # The fitting

    def inspect(
        self,
        step: PlanStep,
        *,
        sound: bool,
        read_with: str = "tape",
        recorded_at: datetime | None = None,
        **otherwise: Any,
    ) -> Inspection:
        given = walker.evidence(step) | otherwise
        if not sound:
            given |= _not_in_order(given)
        if "readings" in given:
            given["instrument"] = getattr(self, read_with)
        key = IdempotencyKey(recorded_at=recorded_at)
        return inspect_step(actor=self.fitter, idempotency_key=key, step=step, **given)

    def inspect_late(self, step: PlanStep, ago: timedelta, **otherwise: Any) -> None:
        """As a phone kept it back, through the queue."""
        sent = SentOperation(
            uuid4(), "inspect_step", uuid4(), None, None, PhoneTime(timezone.now() - ago), "0" * 64
        )
        record = partial(self.inspect, step, recorded_at=sent.recorded_at, **otherwise)
        apply_operation(actor=self.fitter, operation=sent, handler=Late(record))

    def leave_tape(self, step: PlanStep) -> None:
        """Protective tape stays inside until somebody comes back."""
        self.inspect(step, sound=True, return_on=timezone.localdate() + timedelta(days=2))

    def photograph(self, step: PlanStep, size: tuple[int, int]) -> None:
        add_site_photo(
            actor=self.fitter,
            idempotency_key=IdempotencyKey(),
            installation=step.installation,
            step=step,
            content=picture(size=size, colour="teal"),
        )

    def photograph_defect(self, defect: Defect, colour: str) -> None:
        add_site_photo(
            actor=self.fitter,
            idempotency_key=IdempotencyKey(),
            installation=defect.installation,
            defect=defect,
            content=picture_that_shows_something(colour),
        )

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

    def find_defect(
        self, installation: Installation, severity: str, step: PlanStep | None = None
    ) -> None:
        record_defect(
            actor=self.fitter,
            idempotency_key=IdempotencyKey(),
            installation=installation,
            severity=severity,
            step=step,
            description="Something that is not as it must be",
        )

    def put_right(self, defect: Defect, *, by_mate: bool = False) -> None:
        put_right(
            actor=self.mate if by_mate else self.fitter,
            defect=defect,
            expected_version=defect.version,
            how="Made good",
        )

    def look_again(self, defect: Defect, *, accepted: bool, by_mate: bool = True) -> None:
        reinspect(
            actor=self.mate if by_mate else self.fitter,
            defect=defect,
            expected_version=defect.version,
            accepted=accepted,
            note="" if accepted else "It is still there",
        )

    def close_on_evidence(self, defect: Defect) -> None:
        defect.refresh_from_db()
        before, *after = defect.photos.order_by("created_at")
        close_on_evidence(
            actor=self.office,
            defect=defect,
            expected_version=defect.version,
            note="It is as it must be in the second picture",
            photo_before=before,
            photo_after=after[-1] if after else before,
        )

    def leave_to_come(self, defect: Defect, until: date) -> None:
        leave_to_come(
            actor=self.fitter,
            defect=defect,
            expected_version=defect.version,
            until=until,
            promise="We come back for it",
        )

    def concede(
        self,
        installation: Installation,
        code: str,
        defect: Defect | None,
        place: str | None = None,
    ) -> None:
        concede(
            actor=self.office,
            idempotency_key=IdempotencyKey(),
            installation=installation,
            code=code,
            place=place,
            defect=defect if code == "minor_defect" else None,
            reason="Nobody minds",
        )

    def hand_over(
        self, *, with_keys: bool = True, unsigned_because: str = "On paper", shown: bool = True
    ) -> None:
        """`shown`: whether what is left to come stands above the signature."""
        installation = self.installation
        left = [one for one in self.open_defects if one.to_come_by]
        to_come = [{"defect": str(one.pk), "until": f"{one.to_come_by}"} for one in left]
        hand_over(
            actor=self.fitter,
            idempotency_key=IdempotencyKey(),
            job=self.job,
            customer_name="Oona Quill",
            keys={str(installation.pk): 2} if installation and with_keys else {},
            demonstrated=True,
            care_given=True,
            unsigned_because=unsigned_because,
            to_come=to_come if shown else [],
        )

    def ask_for_certificate(self) -> None:
        document = issue_certificate(
            actor=self.office, idempotency_key=IdempotencyKey(), job=self.job
        )
        store_paper(document=document, pdf=b"%PDF-1.7")

    def withdraw(self, *, for_safety: bool) -> None:
        if document := self.certificate:
            withdraw_document(
                actor=self.office,
                document=document,
                expected_version=document.version,
                reason="A sash may fall" if for_safety else "The name is misspelt",
                for_safety=for_safety,
            )


class Late(OperationHandler):
    """One record of a queue, made by a service."""

    tells_of_customer = False

    def __init__(self, record: Callable[[], Inspection]) -> None:
        self.record = record

    def apply(self) -> tuple[Inspection, bool]:
        return self.record(), True

    def set_aside(self, because: str) -> Inspection:
        return self.record()

    def server_record(self) -> None:
        return None

    def as_json(self, record: Record) -> dict[str, Any]:
        return {}


def _not_in_order(given: dict[str, Any]) -> dict[str, Any]:
    """The evidence of a step turned bad: nothing good, nothing done, and every other reading so far
    off that what is judged by its differences falls short, too."""
    bad: dict[str, Any] = {"note": "Not as it must be"}
    if "readings" in given:
        bad["readings"] = [
            type(reading)(reading.place, reading.value + (0 if number % 2 else FAR_OFF))
            for number, reading in enumerate(given["readings"])
        ]
    if "checks" in given:
        bad["checks"] = dict.fromkeys(given["checks"], False)
    if "acknowledged" in given:
        bad["acknowledged"] = False
    return bad
