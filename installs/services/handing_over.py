"""Handing the doorsets of a job over to its customer."""

from collections.abc import Iterable, Sequence
from typing import Any

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _

from installs.gates import handover_gate
from installs.models import Handover, Inspection, Installation, PlanStep
from installs.services.inspecting import store_inspection
from installs.services.still_to_come import ToCome, named_above_the_signature
from jobs.arithmetic.errors import pointer_to
from jobs.errors import Conflict, GateClosed, InvalidField, named
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Job, Person
from jobs.services.diary import end_fittings
from jobs.services.records import store_new


@transaction.atomic
def hand_over(
    *,
    actor: Person,
    idempotency_key: IdempotencyKey,
    job: Job,
    customer_name: str,
    keys: dict[str, int],
    demonstrated: bool,
    care_given: bool,
    signature: list[Any] | None = None,
    unsigned_because: str = "",
    to_come: Sequence[ToCome] = (),
) -> Handover:
    """Hand over all doorsets of a job, or those that were added since the last handover; this
    records the handover steps of their plans, too.

    `keys`: number of keys by installation; `to_come`: minor defects that the customer accepts as
    still to come, as they were shown before the signature. Raises `GateClosed` while something is
    in the way, `InvalidField` where the demonstration, the care notes or both signature and the
    reason why there is none are missing, for keys that do not name every installation of the job
    and a list of what is to come that has changed, `Conflict` when everything was handed over
    before.
    """
    job = Job.objects.select_for_update(no_key=True).get(pk=job.pk)
    before = newest_handover(job)
    known = keys_handed_over(job)
    locked = list(locked_installations(job))
    installations = [one for one in locked if str(one.pk) not in known]
    if before and not installations and not openings_without_fitting(job):
        raise Conflict(_("the job was handed over before"), named(before))
    _check_explained(demonstrated, care_given)
    _check_signed(signature or [], unsigned_because)
    if blockers := handover_gate(job):
        raise GateClosed("handover", blockers)
    _check_keys(keys, installations)
    signed_for = named_above_the_signature(to_come, installations)
    for installation in installations:
        _record_steps(actor, idempotency_key, installation, keys[str(installation.pk)])
    handover = Handover(
        **idempotency_key.columns,
        job=job,
        fitter=actor,
        customer_name=customer_name,
        signature=signature or [],
        unsigned_because=unsigned_because,
        keys=keys,
        demonstrated=demonstrated,
        care_given=care_given,
        to_come=signed_for,
    )
    stored = store_new(handover, actor=actor, entry_type=JournalType.JOB_HANDED_OVER)
    now = timezone.now()
    end_fittings(actor=actor, job=job, at=min(now, idempotency_key.recorded_at or now))
    return stored


def locked_installations(job: Job) -> QuerySet[Installation]:
    """Installations of the job's current doorsets, locked in one order."""
    return current_installations(job).select_for_update(of=("self",), no_key=True)


def current_installations(job: Job) -> QuerySet[Installation]:
    """Of openings that are not left out of the job."""
    wanted = {"doorset__opening__job": job, "doorset__opening__left_out_at": None}
    return (
        Installation.objects.select_related("rule_set", "doorset__opening__job")
        .filter(**wanted, doorset__superseded_at=None)
        .order_by("pk")
    )


def newest_handover(job: Job) -> Handover | None:
    handovers = job.handovers.select_related("fitter")
    handover: Handover | None = handovers.order_by("-created_at", "-id").first()
    return handover


def keys_handed_over(job: Job) -> dict[str, int]:
    """Number of keys by installation, of all handovers."""
    return keys_of(job.handovers.order_by("created_at", "id"))


def keys_of(handovers: Iterable[Handover]) -> dict[str, int]:
    keys: dict[str, int] = {}
    for handover in handovers:
        keys |= handover.keys
    return keys


def openings_without_fitting(job: Job) -> bool:
    fitted = current_installations(job).values("doorset__opening")
    return bool(job.openings.wanted().exclude(pk__in=fitted).exists())


def _check_explained(demonstrated: bool, care_given: bool) -> None:
    if not demonstrated:
        raise InvalidField(
            "/demonstrated", _("show the customer how to open, close and lock first")
        )
    if not care_given:
        raise InvalidField("/care_given", _("explain its care to the customer first"))


def _check_signed(signature: list[Any], unsigned_because: str) -> None:
    if not signature and not unsigned_because:
        raise InvalidField(
            "/unsigned_because",
            _("have the handover signed, or say why it is not signed here, such as: on paper"),
        )
    if signature and unsigned_because:
        raise InvalidField("/unsigned_because", _("it is signed; leave this out"))


def _check_keys(keys: dict[str, int], installations: list[Installation]) -> None:
    known = {str(installation.pk): installation for installation in installations}
    for key in keys:
        if key not in known:
            raise InvalidField(pointer_to("keys", key), _("it is no installation of this job"))
    for key, installation in known.items():
        if key not in keys:
            raise InvalidField(
                "/keys",
                _("give the number of keys of {installation}: {id}").format(
                    installation=installation, id=key
                ),
            )


def _record_steps(
    actor: Person, idempotency_key: IdempotencyKey, installation: Installation, keys: int
) -> None:
    for step in installation.steps.filter(phase=PlanStep.Phase.HANDOVER).order_by("number"):
        counted = "count" in step.evidence
        inspection = Inspection(
            **idempotency_key.derived(str(step.pk)).columns,
            step=step,
            inspector=actor,
            acknowledged=not counted,
            count=keys if counted else None,
        )
        store_inspection(inspection, {"count": float(keys)} if counted else {})
