"""The columns of the tables of jobs and of visits."""

from django.utils.translation import gettext_noop as _

from jobs.models import Job, Site, Visit
from jobs.table_file import Table, moment


def _address(site: Site) -> str:
    return ", ".join(filter(None, (site.address_line_1, site.address_line_2)))


def _taken_on(job: Job) -> str:
    return moment(job.created_at)[:10]


JOBS = Table(
    title=_("Jobs"),
    columns={
        _("Reference"): lambda job: job.reference,
        _("Title"): lambda job: job.title,
        _("Customer"): lambda job: job.customer.name,
        _("Address"): lambda job: _address(job.site),
        _("Town"): lambda job: job.site.town,
        _("Postcode"): lambda job: job.site.postcode,
        _("Taken on"): _taken_on,
    },
    joined=("customer", "site"),
)


def _place(visit: Visit) -> str:
    """Nobody goes to a visit that was cancelled, and whoever was booked for it no longer sees the
    job."""
    return "" if visit.cancelled_at else visit.job.site.one_line


VISITS = Table(
    title=_("Visits"),
    columns={
        _("Job"): lambda visit: visit.job.reference,
        _("Kind"): lambda visit: visit.get_kind_display(),
        _("Crew"): lambda visit: visit.crew.name,
        _("Begins"): lambda visit: moment(visit.start),
        _("Ends"): lambda visit: moment(visit.end),
        _("Address"): _place,
        _("Cancelled"): lambda visit: moment(visit.cancelled_at),
    },
    joined=("job__site", "crew"),
)
