"""People of the firm and their sign-ins."""

from collections.abc import Iterable
from datetime import datetime

from django.contrib.auth.password_validation import validate_password
from django.contrib.sessions.models import Session
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.capabilities import Capability, capabilities_of
from jobs.errors import InvalidField
from jobs.journal_types import JournalType
from jobs.models import Person, PersonRole, Token
from jobs.services.journal import append_new
from jobs.services.second_factor import owes_second_factor


@transaction.atomic
def add_person(
    *,
    actor: Person | None,
    username: str,
    password: str,
    full_name: tuple[str, str],
    email: str,
    roles: Iterable[str],
) -> Person:
    """Add somebody who may sign in, with the roles they hold.

    Raises `InvalidField` for a name that is taken and for a password that is easy to guess.
    """
    if Person.objects.filter(username__iexact=username).exists():
        raise InvalidField("/username", _("{name} is taken").format(name=username))
    person = Person(username=username, first_name=full_name[0], last_name=full_name[1], email=email)
    try:
        validate_password(password, person)
    except ValidationError as error:
        raise InvalidField("/password", " ".join(error.messages)) from error
    person.set_password(password)
    try:
        with transaction.atomic():
            person.save()
    except IntegrityError:
        raise InvalidField("/username", _("{name} is taken").format(name=username)) from None
    PersonRole.objects.bulk_create(
        PersonRole(person=person, role=role) for role in sorted(set(roles))
    )
    append_new(person, actor=actor, entry_type=JournalType.PERSON_ADDED)
    return person


@transaction.atomic
def issue_token(*, person: Person, role: str) -> tuple[str, datetime]:
    """A new token for one role the person holds, and when it expires.

    Raises `InvalidField` when the person does not hold the role, or has to enrol a second factor
    before acting in it.
    """
    if role not in person.held_roles:
        held = ", ".join(sorted(person.held_roles)) or _("none")
        detail = _("you do not have this role; yours: {roles}").format(roles=held)
        raise InvalidField("/role", detail)
    if Capability.ADMINISTER in capabilities_of([role]) and owes_second_factor(person):
        raise InvalidField(
            "/role",
            _("the office needs a second factor: set one up first, on the page “Signing in”"),
        )
    token, secret = Token.objects.create(user=person, role=role)  # type: ignore[no-untyped-call]
    return secret, token.expiry


@transaction.atomic
def forget_expired_sign_ins() -> None:
    """Delete tokens and sessions that open nothing any more; neither is part of the record."""
    Token.objects.filter(expiry__lt=timezone.now()).delete()
    Session.objects.filter(expire_date__lt=timezone.now()).delete()
