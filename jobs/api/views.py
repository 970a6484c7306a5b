"""Endpoints from the customer to the openings of a job, and the firm's own lists."""

from typing import Any, ClassVar

from jobs.api import serializers as bodies
from jobs.api.records import ChangeRecords, CreateRecords, ReadRecords
from jobs.api.tables import TakenAwayRecords
from jobs.identity import Identity
from jobs.models import Customer, Job, Opening, Record, RuleSet, Site
from jobs.services import jobs as services
from jobs.tables import JOBS


class RuleSets(ReadRecords):
    """Rule sets: dated limits with a source each."""

    model = RuleSet
    serializer_class = bodies.RuleSetAnswer


class Customers(ReadRecords, CreateRecords, ChangeRecords):
    """Customers. A surveyor or fitter sees those of their own visits."""

    model = Customer
    serializer_class = bodies.CustomerAnswer
    create_serializer = bodies.NewCustomer
    change_serializer = bodies.CustomerChange

    def make(self, identity: Identity, body: dict[str, Any]) -> Record:
        return services.add_customer(actor=self.actor, identity=identity, **body)

    def change(self, record: Any, version: int, body: dict[str, Any]) -> Record:
        return services.change_customer(
            actor=self.actor, customer=record, expected_version=version, **body
        )


class Sites(ReadRecords, CreateRecords, ChangeRecords):
    """Sites where work is done."""

    model = Site
    serializer_class = bodies.SiteAnswer
    create_serializer = bodies.NewSite
    change_serializer = bodies.SiteChange

    def make(self, identity: Identity, body: dict[str, Any]) -> Record:
        return services.add_site(actor=self.actor, identity=identity, **body)

    def change(self, record: Any, version: int, body: dict[str, Any]) -> Record:
        return services.change_site(actor=self.actor, site=record, expected_version=version, **body)


class Jobs(TakenAwayRecords, CreateRecords, ChangeRecords):
    """Jobs, addressed by their reference, such as `SW-26-0007`."""

    model = Job
    table = JOBS
    lookup_field = "reference"
    lookup_value_regex = r"SW-\d{2}-\d{4,}"
    serializer_class = bodies.JobAnswer
    create_serializer = bodies.NewJob
    change_serializer = bodies.JobChange
    filterset_fields: ClassVar = {
        "reference": ["exact"],
        "customer": ["exact"],
        "site": ["exact"],
    }

    def make(self, identity: Identity, body: dict[str, Any]) -> Record:
        return services.take_on_job(actor=self.actor, identity=identity, **body)

    def change(self, record: Any, version: int, body: dict[str, Any]) -> Record:
        return services.change_job(actor=self.actor, job=record, expected_version=version, **body)


class Openings(ReadRecords, CreateRecords, ChangeRecords):
    """Openings of a job."""

    model = Opening
    serializer_class = bodies.OpeningAnswer
    create_serializer = bodies.NewOpening
    change_serializer = bodies.OpeningChange
    filterset_fields: ClassVar = {"job": ["exact"], "job__reference": ["exact"]}

    def make(self, identity: Identity, body: dict[str, Any]) -> Record:
        return services.add_opening(actor=self.actor, identity=identity, **body)

    def change(self, record: Any, version: int, body: dict[str, Any]) -> Record:
        return services.change_opening(
            actor=self.actor, opening=record, expected_version=version, **body
        )
