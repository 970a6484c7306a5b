"""Collect every text for translators, those of the layers that know no framework too."""

from django.core.management.commands import makemessages

# Functions of `jobs.sentences` whose first argument is a text.
OWN_MARKERS = ("sentence", "StoredSentence")


class Command(makemessages.Command):
    xgettext_options = [
        *makemessages.Command.xgettext_options,
        *(f"--keyword={name}" for name in OWN_MARKERS),
    ]
