"""Keeping photographs of the fitting."""

from django.utils.translation import gettext as _

from installs.models import Defect, Installation, PlanStep, SitePhoto
from installs.services.recording import lock_installation, require_in_plan
from jobs.errors import InvalidField
from jobs.idempotency import IdempotencyKey
from jobs.models import Person
from jobs.services.phone_clock import PhoneTime, check_since_job
from surveys.services.photos import keep_photo


def add_site_photo(
    *,
    actor: Person,
    idempotency_key: IdempotencyKey,
    installation: Installation,
    content: bytes,
    time: PhoneTime | None = None,
    step: PlanStep | None = None,
    defect: Defect | None = None,
    caption: str = "",
) -> SitePhoto:
    """Store a photograph of the fitting, taken at `time`; a wrong clock is put right.

    Raises `InvalidField` for a step or a defect of another installation, for both at once, for a
    step that a new plan replaced, and at /image for a file that cannot be kept; `ClockDisagrees`
    for a time it cannot be made at.
    """
    if time:
        time.check()
        check_since_job(installation, time.recorded_at)
    _check_subject(installation, step, defect)
    photo = SitePhoto(
        **idempotency_key.columns,
        made_at=time.by_a_wrong_clock if time else None,
        installation=installation,
        step=step,
        defect=defect,
        caption=caption,
    )

    def before_storing() -> None:
        """Others lock the installation before the journal; the other way round is a deadlock."""
        lock_installation(installation.pk)
        if step:
            require_in_plan(step)
            photo.sent_before = _sent_for_another(photo)

    rules = installation.rule_set.rules
    return keep_photo(photo, content, actor=actor, rules=rules, before_storing=before_storing)


def _check_subject(
    installation: Installation, step: PlanStep | None, defect: Defect | None
) -> None:
    if step and step.installation_id != installation.pk:
        raise InvalidField("/step", _("it is a step of another installation"))
    if defect and defect.installation_id != installation.pk:
        raise InvalidField("/defect", _("it is a defect of another installation"))
    if step and defect:
        raise InvalidField("/defect", _("a photo shows a step or a defect; give one of them"))


def _sent_for_another(photo: SitePhoto) -> bool:
    """Whether the same picture was sent for another step of the job; it is evidence of one."""
    of_job = SitePhoto.objects.filter(
        installation__doorset__opening__job=photo.installation.job, step__isnull=False
    )
    return of_job.filter(sha256=photo.sha256).exclude(step=photo.step_id).exists()
