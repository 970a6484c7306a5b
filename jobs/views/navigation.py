"""The links at the top of every page, by what the signed-in person may do."""

from dataclasses import dataclass

from django.http import HttpRequest
from django.urls import NoReverseMatch, reverse
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from jobs.capabilities import Capability

# Name of the address, label, and the capability that it is for.
LINKS: tuple[tuple[str, Promise, Capability], ...] = (
    ("today", _("Today"), Capability.ATTEND_VISITS),
    ("diary", _("Diary"), Capability.BOOK),
    ("job-list", _("Jobs"), Capability.READ),
    ("customer-list", _("Customers"), Capability.MANAGE_JOBS),
    ("profile-system-list", _("Profile systems"), Capability.MANAGE_CATALOGUE),
    ("instruments", _("Instruments"), Capability.MEASURE),
    ("witnesses", _("Witnesses"), Capability.ADMINISTER),
    ("second-factor", _("Signing in"), Capability.ADMINISTER),
)


@dataclass(frozen=True, slots=True)
class Link:
    name: Promise
    address: str
    here: bool


def main_links(request: HttpRequest) -> dict[str, list[Link] | bool]:
    """Context of every page: `main_links`, and `works_offline` for whoever records on site, where
    there may be no signal."""
    person = request.user
    if not person.is_authenticated:
        return {"main_links": [], "works_offline": False}
    links = []
    for address_name, label, capability in LINKS:
        if not person.has_capability(capability):
            continue
        address = _address(address_name)
        if address:
            links.append(Link(label, address, request.path.startswith(address)))
    works_offline = person.capabilities >= {Capability.ATTEND_VISITS, Capability.MEASURE}
    return {"main_links": links, "works_offline": works_offline}


def _address(name: str) -> str:
    try:
        return reverse(name)
    except NoReverseMatch:
        return ""
