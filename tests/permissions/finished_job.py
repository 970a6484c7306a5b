"""One job from the first reading to its certificate, everybody who could ask for it, and the
address of each of its parts."""

from dataclasses import dataclass
from functools import cached_property
from typing import Any
from uuid import uuid4

from django.conf import settings
from django.db import transaction
from django.test import Client
from django.utils import timezone

from installs.models import Defect, Installation, SetAside
from installs.services.concessions import concede
from installs.services.defects import record_defect
from installs.services.packing import change_packers
from installs.services.running_gear import record_lift
from installs.services.setting_aside import set_aside, set_photo_aside
from installs.services.sync import SentOperation
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Job, Person, RuleSet, Visit
from jobs.services.crew_calendars import give_out_calendar
from jobs.services.diary import cancel_visit
from jobs.services.journal import append_change
from jobs.services.phone_clock import PhoneTime
from jobs.services.seals import seal_streams
from reports.document_links import document_token
from reports.handover_links import handover_token
from reports.models import Document
from reports.services.documents import issue_document
from reports.services.making import store_paper
from reports.services.webhooks import add_endpoint
from surveys.models import Survey
from surveys.services.photos import add_photo
from tests import factories
from tests.device import Device
from tests.permissions import who_may
from tests.pictures import picture
from tests.reports.asked import asked_certificate
from tests.reports.conftest import PDF
from tests.reports.fitted import handed_over_job


@dataclass(frozen=True)
class FinishedJob:
    """`people` by who they are to the job; nobody is among them."""

    job: Job
    people: dict[str, Person]
    sessions: dict[str, str]
    parts: dict[str, str]

    def browser(self, who: str) -> Client:
        """A new browser each time: one that signs out takes nobody with it."""
        client = Client()
        if who in self.sessions:
            client.cookies[settings.SESSION_COOKIE_NAME] = self.sessions[who]
        return client


def finished_job(rule_set: RuleSet | None = None) -> FinishedJob:
    """Under the newest rule set, unless another is named."""
    office, fitter = factories.person("office"), factories.person("fitter")
    job = handed_over_job(office, fitter, rule_set)
    surveyor = job.visits.get(kind=Visit.Kind.SURVEY).people.get()
    people = {
        who_may.OFFICE: office,
        who_may.FITTER: fitter,
        who_may.OTHER_FITTER: _stranger(office, job, "fitter", Visit.Kind.FITTING),
        who_may.SUBCONTRACTOR: _subcontractor(office, job),
        who_may.OTHER_SUBCONTRACTOR: _stranger(office, job, "subcontractor", Visit.Kind.FITTING),
        who_may.SURVEYOR: surveyor,
        who_may.OTHER_SURVEYOR: _stranger(office, job, "surveyor", Visit.Kind.SURVEY),
    }
    sessions = {who: _session(person) for who, person in people.items()}
    return FinishedJob(job, people, sessions, _Parts(job, office, fitter).by_name)


def _subcontractor(office: Person, job: Job) -> Person:
    """Beside the fitter at the visit of the fitting."""
    person = factories.person("subcontractor")
    visit = Installation.objects.get(doorset__opening__job=job).visit
    with transaction.atomic():
        visit.people.add(person)
        append_change(visit, ["people"], actor=office, entry_type=JournalType.VISIT_BOOKED)
    return person


def _stranger(office: Person, job: Job, role: str, kind: str) -> Person:
    """Somebody with a visit at another job, whose visit at this one was cancelled."""
    person = factories.person(role)
    factories.visit(office, factories.job(office), kind, person)
    cancelled = factories.visit(office, job, kind, person)
    cancel_visit(actor=office, visit=cancelled, expected_version=cancelled.version)
    return person


def _session(person: Person) -> str:
    client = Client()
    client.force_login(person)
    return client.session.session_key or ""


@dataclass(frozen=True)
class _Parts:
    """The keys that stand in addresses."""

    job: Job
    office: Person
    fitter: Person

    @cached_property
    def installation(self) -> Installation:
        return Installation.objects.get(doorset__opening__job=self.job)

    @property
    def by_name(self) -> dict[str, str]:
        parts = self._of_the_office() | self._surveyed() | self._fitted()
        parts |= self._closed() | self._on_paper()
        return {name: str(getattr(part, "pk", part)) for name, part in parts.items()}

    def _of_the_office(self) -> dict[str, Any]:
        return {
            "customer": self.job.customer,
            "site": self.job.site,
            "rule_set": self.job.rule_set,
            "job": self.job.reference,
            "job_key": self.job,
            "witness": factories.witness(self.office),
            "device_key": Device(self.fitter).on_record,
            "webhook": add_endpoint(
                actor=self.office,
                idempotency_key=IdempotencyKey(),
                address="https://hooks.example.com/doors",
                event_types=[],
            ),
        }

    def _surveyed(self) -> dict[str, Any]:
        opening = self.job.openings.get()
        survey = opening.surveys.get(stage=Survey.Stage.FIRST)
        doorset = opening.doorsets.get()
        return {
            "opening": opening,
            "doorset": doorset,
            "profile_system": doorset.profile_system,
            "instruction": factories.maker_instruction(self.office, doorset.profile_system),
            "delivery": doorset.deliveries.get(),
            "survey": survey,
            "survey_visit": survey.visit,
            "survey_crew": survey.visit.crew,
            "calendar": self._calendar(),
            "instrument": survey.instrument,
            "decision": survey.fit_decisions.get(),
            "photo": add_photo(
                actor=self.office,
                idempotency_key=IdempotencyKey(),
                survey=survey,
                content=picture(),
            ),
        }

    def _calendar(self) -> str:
        """The secret of a crew that is named nowhere else."""
        crew = factories.crew(self.office, self.fitter)
        given = give_out_calendar(actor=self.office, crew=crew, expected_version=crew.version)
        return given.secret

    def _fitted(self) -> dict[str, Any]:
        installation = self.installation
        step = installation.steps.order_by("number").first()
        lift = record_lift(
            actor=self.fitter,
            idempotency_key=IdempotencyKey(),
            installation=installation,
            junction=2,
            chain="left",
            turns=0.1,
        )
        packer_change = change_packers(
            actor=self.fitter,
            idempotency_key=IdempotencyKey(),
            installation=installation,
            member="left",
            position=installation.fixings.filter(member="left").first().position,
            added=[2.0],
            taken=[],
        )
        return {
            "packer_change": packer_change,
            "installation": installation,
            "fitting_visit": installation.visit,
            "step": step,
            "inspection": step.inspections.first(),
            "fixing": installation.fixings.first(),
            "gap": installation.gaps.first(),
            "lift": lift,
            "bead": installation.beads.first(),
            "sash": installation.sashes.first(),
            "site_photo": installation.photos.first(),
        }

    def _closed(self) -> dict[str, Any]:
        defect = record_defect(
            actor=self.fitter,
            idempotency_key=IdempotencyKey(),
            installation=self.installation,
            severity=Defect.Severity.MINOR,
            description="A scratch inside",
        )
        concession = concede(
            actor=self.office,
            idempotency_key=IdempotencyKey(),
            installation=self.installation,
            code="minor_defect",
            defect=defect,
            reason="The customer does not mind",
        )
        return {
            "defect": defect,
            "concession": concession,
            "handover": self.job.handovers.get(),
            "set_aside": self._set_aside(),
        }

    def _set_aside(self) -> SetAside:
        """Gaps that nobody reads on a doorset, and a photograph, which is returned."""
        body = {"installation": str(self.installation.pk), "junction": 1, "sill_gap": 444}
        operation = SentOperation(
            id=uuid4(),
            kind="record_gap",
            record=uuid4(),
            base_version=None,
            after=None,
            time=PhoneTime(timezone.now()),
            digest="",
        )
        because = "444 is more than 50"
        sent = {"actor": self.fitter, "because": because}
        set_aside(**sent, operation=operation, body=body, job=self.job)
        return set_photo_aside(
            **sent,
            idempotency_key=IdempotencyKey(),
            content=picture(),
            said={"installation": str(self.installation.pk)},
            time=operation.time,
        )

    def _on_paper(self) -> dict[str, Any]:
        pack = issue_document(
            actor=self.office,
            idempotency_key=IdempotencyKey(),
            job=self.job,
            kind=Document.Kind.FITTING_PACK,
        )
        store_paper(document=pack, pdf=PDF)
        asked = asked_certificate(self.office, self.job)
        letter = store_paper(document=asked, pdf=PDF)
        seal_streams()
        document = Document.objects.get(pk=asked.pk)
        return {
            "document": document,
            "letter": letter,
            "code": document.verification_code,
            "paper_link": document_token(document),
            "handover_link": handover_token(self.job),
        }
