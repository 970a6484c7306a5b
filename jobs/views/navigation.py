"""The few links that stand on top of every page, for the roles of whoever looks at it."""

from dataclasses import dataclass

from django.http import HttpRequest
from django.urls import NoReverseMatch, reverse

from jobs.models import Role

# Name of the address, words, and the roles that need it.
LINKS: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    ("today", "Today", (Role.SURVEYOR, Role.FITTER)),
    ("diary", "Diary", (Role.OFFICE,)),
    ("job-list", "Jobs", (Role.OFFICE, Role.SURVEYOR, Role.FITTER)),
    ("customer-list", "Customers", (Role.OFFICE,)),
    ("profile-system-list", "Profile systems", (Role.OFFICE,)),
    ("instruments", "Instruments", (Role.OFFICE,)),
    ("second-factor", "Signing in", (Role.OFFICE,)),
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
    for address_name, words, roles in LINKS:
        if not person.acts_as(*roles):
            continue
        address = _address(address_name)
        if address:
            found.append(Link(words, address, request.path.startswith(address)))
    return {"main_links": found, "works_offline": person.acts_as(Role.FITTER)}


def _address(name: str) -> str:
    try:
        return reverse(name)
    except NoReverseMatch:
        return ""
