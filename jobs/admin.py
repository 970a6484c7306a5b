"""The admin reads everything; what services write under rules is not changed here."""

from collections.abc import Iterable
from typing import Any, cast

from django.contrib import admin
from django.contrib.auth.admin import UserAdmin
from django.db import models
from django.http import HttpRequest
from django_otp.plugins.otp_static.models import StaticDevice
from django_otp.plugins.otp_totp.models import TOTPDevice

from jobs.journal_types import JournalType
from jobs.models import (
    Crew,
    Customer,
    Delivery,
    Doorset,
    EnrolledKey,
    Job,
    JournalEntry,
    JournalStream,
    Opening,
    Person,
    PersonRole,
    ProfileSystem,
    RuleSet,
    Site,
    Visit,
)
from jobs.services.journal import append_change, append_new
from jobs.services.states import kept_columns


class ReadOnlyAdmin(admin.ModelAdmin):
    """Looks, never touches: a change past the services would be a change past the journal."""

    def has_add_permission(self, request: HttpRequest, *args: Any) -> bool:
        return False

    def has_change_permission(self, request: HttpRequest, obj: models.Model | None = None) -> bool:
        return False

    def has_delete_permission(self, request: HttpRequest, obj: models.Model | None = None) -> bool:
        return False


class RolesInline(admin.TabularInline):
    model = PersonRole
    extra = 0


@admin.register(Person)
class PersonAdmin(UserAdmin):
    """People are the one thing changed here: names, passwords, roles, and who has left."""

    inlines = (RolesInline,)

    def save_related(self, request: HttpRequest, form: Any, formsets: Any, change: bool) -> None:
        """Journal the change once the roles are stored, too."""
        super().save_related(request, form, formsets, change)
        person = form.instance
        actor = cast(Person, request.user)
        if not change:
            append_new(person, actor=actor, entry_type=JournalType.PERSON_ADDED)
            return
        columns = set(form.changed_data).intersection(_names(kept_columns(Person)))
        relations = set(form.changed_data).intersection(_names(Person._meta.many_to_many))
        append_change(
            person,
            {*columns, *relations, *Person.parts},
            actor=actor,
            entry_type=JournalType.PERSON_CHANGED,
        )

    def has_delete_permission(self, request: HttpRequest, obj: models.Model | None = None) -> bool:
        """Whoever has left is no longer active; what they recorded stays theirs."""
        return False


def _names(fields: Iterable[Any]) -> set[str]:
    return {field.name for field in fields}


# Second factors are enrolled and removed by their services; their secrets are for nobody to read.
admin.site.unregister([TOTPDevice, StaticDevice])

for model in (
    Crew,
    Customer,
    Delivery,
    Doorset,
    EnrolledKey,
    Job,
    JournalEntry,
    JournalStream,
    Opening,
    ProfileSystem,
    RuleSet,
    Site,
    Visit,
):
    admin.site.register(model, ReadOnlyAdmin)
