"""Everything that the firm holds about one customer, each kind found by how it leads to them."""

from dataclasses import dataclass

from django.db.models import Q, QuerySet

from installs.models import Handover, Installation, SitePhoto
from jobs.models import Customer, Job, JournalEntry, Site
from reports.models import Dispatch, Document
from reports.models.documents import DocumentQuerySet
from surveys.models import Photo, Survey


@dataclass(frozen=True, slots=True)
class Held:
    """Queries, so that each reads what is there when it is asked."""

    customer: Customer

    @property
    def jobs(self) -> QuerySet[Job]:
        return Job.objects.filter(customer=self.customer).order_by("pk")

    @property
    def sites(self) -> QuerySet[Site]:
        """Where the customer has had work done."""
        return Site.objects.filter(jobs__customer=self.customer).distinct().order_by("pk")

    @property
    def shared_sites(self) -> QuerySet[Site]:
        """Those of them that are somebody else's too."""
        others = Job.objects.exclude(customer=self.customer).filter(customer__erased_at=None)
        return self.sites.filter(pk__in=others.values("site"))

    @property
    def sites_of_their_own(self) -> QuerySet[Site]:
        return self.sites.exclude(pk__in=self.shared_sites.values("pk"))

    @property
    def surveys(self) -> QuerySet[Survey]:
        return Survey.objects.filter(opening__job__in=self.jobs)

    @property
    def survey_photos(self) -> QuerySet[Photo]:
        return Photo.objects.filter(survey__in=self.surveys)

    @property
    def installations(self) -> QuerySet[Installation]:
        return Installation.objects.filter(doorset__opening__job__in=self.jobs)

    @property
    def site_photos(self) -> QuerySet[SitePhoto]:
        return SitePhoto.objects.filter(installation__in=self.installations)

    @property
    def handovers(self) -> QuerySet[Handover]:
        return Handover.objects.filter(job__in=self.jobs)

    @property
    def documents(self) -> DocumentQuerySet:
        return Document.objects.filter(job__in=self.jobs).order_by("pk")

    @property
    def dispatches(self) -> QuerySet[Dispatch]:
        return Dispatch.objects.filter(document__job__in=self.jobs).order_by("pk")

    @property
    def journal(self) -> QuerySet[JournalEntry]:
        """Of the jobs whole, and what the firm's own chain says of the customer and the sites."""
        streams = [job.journal_stream for job in self.jobs]
        themselves = [str(self.customer.pk), *(str(site.pk) for site in self.sites)]
        of_them = Q(stream__in=streams) | Q(record_id__in=themselves)
        return JournalEntry.objects.filter(of_them).order_by("stream", "number")
