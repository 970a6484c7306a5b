"""Tables that the journal does not hold, each with why; every other one is compared with it.

A model that is neither journalled, nor part of what is, nor named here stops `manage.py migrate`:
somebody has to decide.
"""

from collections.abc import Iterable
from typing import Any

from django.apps import apps
from django.core.checks import CheckMessage, Error, register
from django.db.models import Model

from jobs.services.states import journalled_models, parts_of

OUTSIDE_THE_JOURNAL = {
    # The journal itself holds by its chains and seals.
    "jobs.journalstream": "the heads of its chains, checked with them",
    "jobs.journalentry": "its entries, checked by their digests",
    "jobs.sealedcontent": "what a phone signed, checked by its signature in the journal",
    # How somebody gets in. What they did then stands under their name, whichever way they came.
    "jobs.token": "signed in for a day at most",
    "sessions.session": "signed in for a day at most",
    "otp_totp.totpdevice": "counts with every code; enrolling and removing it are journalled",
    "otp_static.staticdevice": "counts wrong codes; enrolling and removing it are journalled",
    "otp_static.statictoken": "used up by signing in; making them is journalled",
    # What the framework keeps for the pages of administrators, which change people alone.
    "admin.logentry": "what administrators did, as the framework notes it beside the journal",
    "auth.group": "counts for staff alone, and who is staff, and in which group, is journalled",
    "auth.group_permissions": "as its group",
    "auth.permission": "made by the migrations",
    "contenttypes.contenttype": "made by the migrations",
    # Work in hand.
    "jobs.yearcounter": "the next number of a job; the numbers given are journalled with the jobs",
    "installs.syncoperation": "what a phone was answered; what it recorded is journalled",
    "reports.dispatchattempt": "tries, with when and how each ended; the outcome is journalled",
}


@register()
def every_table_is_decided_about(app_configs: Any, **more: Any) -> list[CheckMessage]:
    return [
        Error(
            f"The journal holds {model._meta.label} neither by itself nor as a part, and nothing "
            "says why.",
            hint="Base it on Record, name it in the parts of one, or in OUTSIDE_THE_JOURNAL.",
            id="upkeep.E001",
        )
        for model in undecided(apps.get_models(include_auto_created=True))
    ]


def undecided(models: Iterable[type[Model]]) -> list[type[Model]]:
    """Those that the journal neither holds nor leaves out for a reason."""
    records: set[Any] = set(journalled_models())
    decided = {*records, *(part.related_model for m in records for part in parts_of(m))}
    return [
        model
        for model in models
        if model not in decided
        and model._meta.auto_created not in records
        and model._meta.label_lower not in OUTSIDE_THE_JOURNAL
    ]
