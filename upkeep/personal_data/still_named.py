"""Where a customer is named in words that somebody typed, which no erasure can take back."""

from collections.abc import Iterable

from django.db.models import Q

from jobs.models import JournalEntry
from upkeep.personal_data.held import Held

# Shorter ones are found everywhere.
SHORTEST_WORD = 4


def telling_words(held: Held) -> set[str]:
    """What would give the customer away: the last word of a name, how and where to reach them."""
    customer = held.customer
    names = [customer.name, *held.handovers.values_list("customer_name", flat=True)]
    words = {name.split()[-1] for name in names if name.split()}
    words |= {customer.email, customer.telephone}
    for site in held.sites_of_their_own:
        words |= {site.address_line_1, site.postcode}
    return {word for word in words if len(word) >= SHORTEST_WORD}


def entries_naming(held: Held, words: Iterable[str]) -> list[JournalEntry]:
    """Entries of the jobs' journals that say any of the words. Whatever a title, a caption, a note
    or a reason says is in there, and the journal is never changed."""
    said = Q(pk__in=())
    for word in words:
        said |= Q(text__icontains=word)
    streams = [job.journal_stream for job in held.jobs]
    entries = JournalEntry.objects.filter(said, stream__in=streams)
    return list(entries.order_by("stream", "number"))
