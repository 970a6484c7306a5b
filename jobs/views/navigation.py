"""The few links that stand on top of every page, for whoever looks at it."""

from dataclasses import dataclass

from django.http import HttpRequest
from django.urls import NoReverseMatch, reverse

from jobs.capabilities import Capability

# Name of the address, words, and the capability that it is for.
LINKS: tuple[tuple[str, str, Capability], ...] = (
    ("today", "Today", Capability.ATTEND_VISITS),
    ("diary", "Diary", Capability.BOOK),
    ("job-list", "Jobs", Capability.READ),
    ("customer-list", "Customers", Capability.MANAGE_JOBS),
    ("profile-system-list", "Profile systems", Capability.MANAGE_CATALOGUE),
    ("instruments", "Instruments", Capability.MANAGE_CATALOGUE),
    ("second-factor", "Signing in", Capability.ADMINISTER),
)


@dataclass(frozen=True, slots=True)
class Link:
    name: str
    address: str
    here: bool


def main_links(request: HttpRequest) -> dict[str, list[Link] | bool]:
    """Context of every page: `main_links`, and `works_offline` for whoever records on site, where
    there may be no signal."""
    person = request.user
    if not person.is_authenticated:
        return {"main_links": [], "works_offline": False}
    found = []
    for address_name, words, capability in LINKS:
        if not person.has_capability(capability):
            continue
        address = _address(address_name)
        if address:
            found.append(Link(words, address, request.path.startswith(address)))
    works_offline = person.capabilities >= {Capability.ATTEND_VISITS, Capability.RECORD_FITTING}
    return {"main_links": found, "works_offline": works_offline}


def _address(name: str) -> str:
    try:
        return reverse(name)
    except NoReverseMatch:
        return ""
