"""Rule sets and profile systems."""

from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from jobs.errors import Conflict
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Person, ProfileSystem, RuleSet
from jobs.rule_texts import read_rules, shipped_rule_set_texts
from jobs.services.records import refuse_taken, store_change, store_new


@transaction.atomic
def load_shipped_rule_sets(*, actor: Person | None = None) -> list[RuleSet]:
    """Store every rule set that comes with the project and is not stored yet.

    Raises `UnsoundRuleSet`, and `Conflict` when a shipped set differs from the stored one of the
    same name, be it by a set that it extends: limits that jobs were decided under do not change.
    """
    loaded = []
    for text in shipped_rule_set_texts():
        rules = read_rules(text)
        stored = RuleSet.objects.filter(name=rules.name).first()
        if stored is None:
            record = RuleSet(
                name=rules.name,
                family=rules.family,
                title=rules.title,
                issued_on=rules.issued_on,
                sha256=rules.sha256,
                text=text,
            )
            loaded.append(store_new(record, actor=actor, entry_type=JournalType.RULE_SET_LOADED))
        elif stored.sha256 != rules.sha256:
            message = _(
                "rule set {name}, or one that it extends, was changed since it was loaded; leave "
                "those as they were, and give the new limits a rule set of another name"
            )
            raise Conflict(message.format(name=rules.name))
    return loaded


@transaction.atomic
def add_profile_system(
    *, actor: Person, idempotency_key: IdempotencyKey, **values: Any
) -> ProfileSystem:
    """Store a family of doorsets; `values` are its columns. Its name must not be taken."""
    refuse_taken(ProfileSystem, "name", values["name"])
    record = ProfileSystem(**idempotency_key.columns, **values)
    return store_new(record, actor=actor, entry_type=JournalType.PROFILE_SYSTEM_ADDED)


@transaction.atomic
def change_profile_system(
    *,
    actor: Person,
    profile_system: ProfileSystem,
    expected_version: int,
    **changes: Any,
) -> ProfileSystem:
    """Change a family of doorsets; doorsets already worked out keep their frozen calculation."""
    refuse_taken(ProfileSystem, "name", changes.get("name"), besides=profile_system)
    return store_change(
        profile_system,
        changes,
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.PROFILE_SYSTEM_CHANGED,
    )
