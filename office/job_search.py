"""Jobs found by what somebody types: a reference, or a part of a title, a name or a town."""

import re
from typing import Any

from django.db.models import Q, QuerySet

from jobs.models import Customer, Job, Site

REFERENCE = re.compile(r"SW-\d{2}-\d{3,}", re.IGNORECASE)
# Up to so many are picked out by their ids and sorted then. Of more, the first page is soon met by
# going through the jobs newest first.
FEW = 500


def named_like(jobs: QuerySet[Job], text: str) -> QuerySet[Job]:
    """Those of `jobs` whose reference, title, customer or town has this text in it.

    What is a whole reference, or begins one, is looked up rather than searched for.
    """
    if REFERENCE.fullmatch(text):
        return jobs.filter(reference__startswith=text.upper())
    ids = _first_named(text)
    if len(ids) <= FEW:
        return jobs.filter(pk__in=set(ids))
    customers = Customer.objects.filter(name__icontains=text)
    sites = Site.objects.filter(town__icontains=text)
    # By their ids, not joined: the hash of a million rows would be built to show fifty.
    of_them = Q(customer__in=customers.order_by().values("pk")) | Q(
        site__in=sites.order_by().values("pk")
    )
    return jobs.filter(Q(reference__icontains=text) | Q(title__icontains=text) | of_them)


def _first_named(text: str) -> list[Any]:
    """Ids of jobs of the whole firm with this text, one more than `FEW` at most and some twice."""
    ways = [
        Job.objects.filter(**{f"{path}__icontains": text}).order_by().values_list("pk", flat=True)
        for path in ("reference", "title", "customer__name", "site__town")
    ]
    return list(ways[0].union(*ways[1:], all=True)[: FEW + 1])
