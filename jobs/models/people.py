"""People of the firm, the roles they hold, and the tokens their programs sign in with."""

import uuid
from functools import cached_property
from typing import ClassVar

from django.contrib.auth.models import AbstractUser
from django.db import models
from knox.models import AbstractAuthToken, AuthTokenManager

from jobs.capabilities import Capability, Role, VisitKind, capabilities_of, visit_kinds_of
from jobs.models.record import EVERY_FIELD, Journalled, Sealed


class Person(AbstractUser, Journalled, Sealed):
    """Somebody who signs in. What they may see and do follows from `capabilities`."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)

    parts: ClassVar = {"role_records": "role"}
    sealed_fields: ClassVar = ("first_name", "last_name", "email")
    # Hashed anew as it is used; written at every sign-in.
    not_journalled: ClassVar = ("password", "last_login")

    # Set while a request is served with a token: its one role, if that is held still, and no other.
    narrowed_to: frozenset[str] | None = None

    may_change: ClassVar = EVERY_FIELD

    @cached_property
    def held_roles(self) -> frozenset[str]:
        return frozenset(self.role_records.values_list("role", flat=True))

    @property
    def acting_roles(self) -> frozenset[str]:
        return self.held_roles if self.narrowed_to is None else self.narrowed_to

    @property
    def capabilities(self) -> frozenset[Capability]:
        return capabilities_of(self.acting_roles)

    def has_capability(self, capability: Capability) -> bool:
        return capability in self.capabilities

    @property
    def visit_kinds(self) -> frozenset[VisitKind]:
        """The kinds of own visits through which jobs are seen."""
        return visit_kinds_of(self.acting_roles)

    @property
    def display_name(self) -> str:
        return self.get_full_name() or self.username


class PersonRole(models.Model):
    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="role_records")
    role = models.CharField(max_length=20, choices=Role.choices)

    # An administrator gives and takes roles.
    may_change: ClassVar = EVERY_FIELD
    may_be_deleted: ClassVar = True

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("person", "role"), name="person_holds_a_role_once"),
            models.CheckConstraint(
                condition=models.Q(role__in=Role.values), name="person_role_is_known"
            ),
        )

    def __str__(self) -> str:
        return f"{self.person}: {self.role}"


class TokenManager(AuthTokenManager):
    """Each token knows whether its person holds its role still, without asking for that again."""

    def get_queryset(self) -> models.QuerySet:
        held = PersonRole.objects.filter(
            person=models.OuterRef("user"), role=models.OuterRef("role")
        )
        return super().get_queryset().annotate(role_is_held=models.Exists(held))


class Token(AbstractAuthToken):
    """A sign-in of a program: stored hashed, expiring, revocable, for one role."""

    role = models.CharField(max_length=20, choices=Role.choices)

    may_change: ClassVar = EVERY_FIELD
    may_be_deleted: ClassVar = True
    objects: ClassVar[TokenManager] = TokenManager()

    class Meta:
        constraints = (
            models.CheckConstraint(
                condition=models.Q(role__in=Role.values), name="token_role_is_known"
            ),
        )
