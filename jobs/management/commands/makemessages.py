"""Collect every text for translators, those of the layers that know no framework too."""

from typing import Any

from django.core.management.commands import makemessages

# Functions of `jobs.sentences` whose first argument is a text.
OWN_MARKERS = ("sentence", "StoredSentence")
# Nobody who uses the product reads a text of these.
NOT_FOR_PEOPLE = ("tests/*", "benchmarks/*", "fixtures_demo/*", "var/*")


class Command(makemessages.Command):
    xgettext_options = [
        *makemessages.Command.xgettext_options,
        *(f"--keyword={name}" for name in OWN_MARKERS),
    ]

    def handle(self, *args: Any, **options: Any) -> None:
        options["ignore_patterns"] = [*options["ignore_patterns"], *NOT_FOR_PEOPLE]
        super().handle(*args, **options)
