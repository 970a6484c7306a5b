"""A second factor beside the password: codes of an app (RFC 6238), and recovery codes on paper.

A code is taken in a transaction of its own, before what it allows is written: what counts wrong
codes must stay although the request is refused.

Devices, codes and the counting of wrong ones are django-otp's. The second factor of django-allauth
comes with accounts, addresses and pages of its own, each of which would have to be kept out again.
"""

from django.conf import settings
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _
from django_otp import verify_token
from django_otp.models import Device
from django_otp.plugins.otp_static.models import StaticDevice, StaticToken
from django_otp.plugins.otp_totp.models import TOTPDevice

from jobs.capabilities import Capability
from jobs.errors import Conflict, InvalidField
from jobs.journal_types import JournalType
from jobs.models import CATALOGUE, Person
from jobs.services.journal import append

RECOVERY_CODES = 10
DIGITS = 6


def enrolled_device(person: Person) -> TOTPDevice | None:
    """The app of somebody who has a second factor; None for everybody else."""
    return TOTPDevice.objects.filter(user=person, confirmed=True).first()


def needs_second_factor(person: Person) -> bool:
    """Whether a password alone is too little for what this person may do."""
    return settings.OFFICE_NEEDS_SECOND_FACTOR and person.has_capability(Capability.ADMINISTER)


def owes_second_factor(person: Person) -> bool:
    """Whether this person must enrol before they see anything of the office."""
    return needs_second_factor(person) and enrolled_device(person) is None


def begun_enrolment(person: Person) -> TOTPDevice | None:
    """A device whose enrolment was begun and not confirmed yet."""
    return TOTPDevice.objects.filter(user=person, confirmed=False).first()


def recovery_codes_left(person: Person) -> int:
    return StaticToken.objects.filter(device__user=person).count()


@transaction.atomic
def begin_enrolment(*, person: Person) -> TOTPDevice:
    """A new secret, of no use until a code made with it has come back.

    Raises `Conflict` for somebody who has a second factor already.
    """
    Person.objects.select_for_update(no_key=True).get(pk=person.pk)
    if enrolled_device(person):
        raise Conflict(_("you have a second factor; switch it off first"))
    TOTPDevice.objects.filter(user=person).delete()
    return TOTPDevice.objects.create(user=person, name="app", confirmed=False)


def confirm_enrolment(*, person: Person, code: str) -> list[str]:
    """Switch the second factor on; returns the recovery codes, this once.

    Raises `Conflict` when nothing was begun, `InvalidField` for a wrong code.
    """
    device = begun_enrolment(person)
    if device is None:
        raise Conflict(_("begin first: there is no secret yet to make a code with"))
    _take(person, device, _tidied(code))
    return _enrol(person, device)


def accept_code(*, person: Person, code: str) -> Device:
    """Take a code of the app, or a recovery code, which is then used up.

    Raises `InvalidField` for a wrong one, and while wrong ones make it wait.
    """
    tidied = _tidied(code)
    of_app = len(tidied) == DIGITS and tidied.isdigit()
    recovery = StaticDevice.objects.filter(user=person, confirmed=True).first()
    device = enrolled_device(person) if of_app else recovery
    if device is None:
        text = _("type the {count} digits that your app shows")
        raise InvalidField("/code", text.format(count=DIGITS))
    _take(person, device, tidied)
    return device


def renew_recovery_codes(*, person: Person, code: str) -> list[str]:
    """New recovery codes in place of the old ones. Raises `InvalidField` for a wrong code."""
    accept_code(person=person, code=code)
    return _renew(person)


def switch_off(*, person: Person, code: str) -> None:
    """The password alone opens again. Raises `InvalidField` for a wrong code."""
    accept_code(person=person, code=code)
    remove_second_factor(actor=person, person=person)


@transaction.atomic
def remove_second_factor(*, actor: Person | None, person: Person) -> None:
    """Also for somebody who has lost app and paper, by whoever runs the service."""
    TOTPDevice.objects.filter(user=person).delete()
    StaticDevice.objects.filter(user=person).delete()
    _journal(actor, person, JournalType.SECOND_FACTOR_REMOVED)


@transaction.atomic
def _enrol(person: Person, device: TOTPDevice) -> list[str]:
    TOTPDevice.objects.filter(pk=device.pk).update(confirmed=True)
    _journal(person, person, JournalType.SECOND_FACTOR_ENROLLED)
    return _new_recovery_codes(person)


@transaction.atomic
def _renew(person: Person) -> list[str]:
    _journal(person, person, JournalType.RECOVERY_CODES_RENEWED)
    return _new_recovery_codes(person)


def _new_recovery_codes(person: Person) -> list[str]:
    StaticDevice.objects.filter(user=person).delete()
    device = StaticDevice.objects.create(user=person, name="paper")
    codes = [_new_code() for _ in range(RECOVERY_CODES)]
    StaticToken.objects.bulk_create(StaticToken(device=device, token=code) for code in codes)
    return codes


def _new_code() -> str:
    """40 random bits in eight letters and digits; few wrong ones can be tried."""
    return str(StaticToken.random_token())  # type: ignore[no-untyped-call]


def _take(person: Person, device: Device, code: str) -> None:
    """Each device counts its own wrong codes and waits twice as long after each."""
    allowed, why = device.verify_is_allowed()  # type: ignore[no-untyped-call]
    if not allowed:
        seconds = max(1, round((why["locked_until"] - timezone.now()).total_seconds()))
        text = _("too many wrong codes: wait {seconds} s, then use a new one")
        raise InvalidField("/code", text.format(seconds=seconds))
    taken = verify_token(person, device.persistent_id, code)  # type: ignore[no-untyped-call]
    if taken is None:
        raise InvalidField("/code", _("it is wrong or was used before; use the next one"))


def _tidied(code: str) -> str:
    """As people copy it: in groups, and with capitals."""
    return "".join(code.split()).replace("-", "").lower()


def _journal(actor: Person | None, person: Person, entry_type: JournalType) -> None:
    append(
        stream=CATALOGUE,
        actor=actor,
        entry_type=entry_type,
        record=("jobs.person", str(person.pk)),
        body={"username": person.username},
    )
