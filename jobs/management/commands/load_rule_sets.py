"""`manage.py load_rule_sets`: store the rule sets that come with the project."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError

from jobs.errors import DomainError
from jobs.models import RuleSet
from jobs.rules import UnsoundRuleSet
from jobs.services.catalogue import load_shipped_rule_sets


class Command(BaseCommand):
    help = "Store every shipped rule set that is not stored yet."

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            loaded = load_shipped_rule_sets()
        except (UnsoundRuleSet, DomainError) as error:
            raise CommandError(str(error)) from error
        for rule_set in loaded:
            self.stdout.write(f"Loaded {rule_set.name}: {rule_set.title}")
        self.stdout.write(f"{RuleSet.objects.count()} rule sets are stored.")
