from jobs.capabilities import Role
from jobs.models.catalogue import ProfileSystem, RuleSet, SharedQuerySet
from jobs.models.device_keys import EnrolledKey, SealedContent
from jobs.models.diary import Crew, Visit
from jobs.models.doorsets import Delivery, Doorset
from jobs.models.jobs import Customer, Job, OfJobQuerySet, Opening, Site, YearCounter
from jobs.models.journal import JournalEntry, JournalStream
from jobs.models.people import Person, PersonRole, Token
from jobs.models.record import CATALOGUE, EVERY_FIELD, Journalled, PersonalRecord, Record, known

__all__ = [
    "CATALOGUE",
    "EVERY_FIELD",
    "Crew",
    "Customer",
    "Delivery",
    "Doorset",
    "EnrolledKey",
    "Job",
    "JournalEntry",
    "JournalStream",
    "Journalled",
    "OfJobQuerySet",
    "Opening",
    "Person",
    "PersonRole",
    "PersonalRecord",
    "ProfileSystem",
    "Record",
    "Role",
    "RuleSet",
    "SealedContent",
    "SharedQuerySet",
    "Site",
    "Token",
    "Visit",
    "YearCounter",
    "known",
]
