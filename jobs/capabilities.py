"""What each role may do and which visits it makes, in one table; doors ask for a capability.

A new role is a member of `Role` and a line in each table. Nothing else in the code asks which role
somebody acts in, except where a role is what it is about: signing in, and choosing people.
"""

from collections.abc import Iterable, Mapping
from enum import StrEnum

from django.db import models
from django.utils.translation import gettext_lazy as _


class Role(models.TextChoices):
    OFFICE = "office", _("Office")
    SURVEYOR = "surveyor", _("Surveyor")
    FITTER = "fitter", _("Fitter")
    # Fits like a fitter, for the firm and not of it: the customer stays the firm's.
    SUBCONTRACTOR = "subcontractor", _("Subcontractor")


class VisitKind(models.TextChoices):
    SURVEY = "survey", _("Survey")
    FITTING = "fitting", _("Fitting")
    RETURN = "return", _("Return")


class Capability(StrEnum):
    """What somebody may do, with the records that they may see."""

    READ = "read"
    # Every job of the firm, and not only those of own visits.
    SEE_EVERY_JOB = "see_every_job"
    SEE_CUSTOMER_CONTACT = "see_customer_contact"
    READ_JOURNAL = "read_journal"
    # Have days on site, and begin each with the visits of it.
    ATTEND_VISITS = "attend_visits"
    # Surveys, their photographs, and whether a frame fits.
    MEASURE = "measure"
    # Say that a suspicion of asbestos was cleared, by whom and by which report.
    CLEAR_ASBESTOS = "clear_asbestos"
    # Everything from the delivery to the handover.
    RECORD_FITTING = "record_fitting"
    # Customers, sites, jobs, openings and the drafts of doorsets.
    MANAGE_JOBS = "manage_jobs"
    ORDER = "order"
    # Crews, their calendars and visits.
    BOOK = "book"
    # Accept, with a reason, what falls short.
    CONCEDE = "concede"
    ISSUE_SURVEY_SHEET = "issue_survey_sheet"
    ISSUE_FITTING_PAPERS = "issue_fitting_papers"
    # Certificates too; withdraw papers, and see that they reach the customer.
    ISSUE_PAPERS = "issue_papers"
    # Profile systems and instruments.
    MANAGE_CATALOGUE = "manage_catalogue"
    MANAGE_PEOPLE = "manage_people"
    MANAGE_WEBHOOKS = "manage_webhooks"
    # Give out, and erase, what the firm holds about a customer.
    MANAGE_PERSONAL_DATA = "manage_personal_data"
    # Held by the office alone: what is asked of an action that names no other.
    ADMINISTER = "administer"


# Keyed by the role's text, since that is what rows and tokens hold; what is not here may nothing.
ROLE_CAPABILITIES: Mapping[str, frozenset[Capability]] = {
    Role.OFFICE: frozenset(Capability) - {Capability.ATTEND_VISITS},
    Role.SURVEYOR: frozenset(
        {
            Capability.READ,
            Capability.SEE_CUSTOMER_CONTACT,
            Capability.ATTEND_VISITS,
            Capability.MEASURE,
            Capability.CLEAR_ASBESTOS,
            Capability.ISSUE_SURVEY_SHEET,
        }
    ),
    Role.FITTER: frozenset(
        {
            Capability.READ,
            Capability.SEE_CUSTOMER_CONTACT,
            Capability.ATTEND_VISITS,
            Capability.MEASURE,
            Capability.RECORD_FITTING,
            Capability.ISSUE_FITTING_PAPERS,
        }
    ),
    Role.SUBCONTRACTOR: frozenset(
        {
            Capability.READ,
            Capability.ATTEND_VISITS,
            Capability.MEASURE,
            Capability.RECORD_FITTING,
            Capability.ISSUE_FITTING_PAPERS,
        }
    ),
}

# The visits that somebody in the role can be booked for; jobs are seen through one's own of these.
ROLE_VISIT_KINDS: Mapping[str, frozenset[VisitKind]] = {
    Role.OFFICE: frozenset(),
    Role.SURVEYOR: frozenset({VisitKind.SURVEY}),
    Role.FITTER: frozenset({VisitKind.FITTING, VisitKind.RETURN}),
    Role.SUBCONTRACTOR: frozenset({VisitKind.FITTING, VisitKind.RETURN}),
}


def capabilities_of(roles: Iterable[str]) -> frozenset[Capability]:
    """Those of all the roles together; an unknown role has none."""
    return frozenset().union(*(ROLE_CAPABILITIES.get(role, frozenset()) for role in roles))


def visit_kinds_of(roles: Iterable[str]) -> frozenset[VisitKind]:
    """The kinds of visits that any of the roles makes; an unknown role makes none."""
    return frozenset().union(*(ROLE_VISIT_KINDS.get(role, frozenset()) for role in roles))


def roles_with(capability: Capability) -> list[Role]:
    """In the order of `Role`."""
    return [role for role in Role if capability in capabilities_of([role])]


def roles_making(kind: VisitKind) -> list[Role]:
    """Of whom a visit of this kind needs one, in the order of `Role`."""
    return [role for role in Role if kind in visit_kinds_of([role])]
