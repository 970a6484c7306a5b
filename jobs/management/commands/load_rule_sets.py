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
            heading = f"{rule_set.name} of {rule_set.issued_on}, family {rule_set.family}"
            self.stdout.write(f"Loaded {heading}: {rule_set.title}")
        stored = RuleSet.objects.newest_first()
        self.stdout.write(f"{len(stored)} rule sets are stored.")
        for rule_set in stored:
            if borrowed := sorted(set(rule_set.rules_of_family) - set(rule_set.rules.rules)):
                missing = ", ".join(borrowed)
                self.stdout.write(f"{rule_set.name} leaves to newer sets of its family: {missing}")
