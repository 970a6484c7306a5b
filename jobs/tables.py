"""What stands in the tables of jobs and of visits."""

from jobs.models import Job, Site, Visit
from jobs.table_file import Table, moment


def _address(site: Site) -> str:
    return ", ".join(filter(None, (site.address_line_1, site.address_line_2)))


def _taken_on(job: Job) -> str:
    return moment(job.created_at)[:10]


JOBS = Table(
    title="Jobs",
    columns={
        "Reference": lambda job: job.reference,
        "Title": lambda job: job.title,
        "Customer": lambda job: job.customer.name,
        "Address": lambda job: _address(job.site),
        "Town": lambda job: job.site.town,
        "Postcode": lambda job: job.site.postcode,
        "Taken on": _taken_on,
    },
    joined=("customer", "site"),
)


def _place(visit: Visit) -> str:
    """Nobody goes to a visit that was cancelled, and whoever was booked for it no longer sees the
    job."""
    return "" if visit.cancelled_at else visit.job.site.one_line


VISITS = Table(
    title="Visits",
    columns={
        "Job": lambda visit: visit.job.reference,
        "Kind": lambda visit: visit.get_kind_display(),
        "Crew": lambda visit: visit.crew.name,
        "Begins": lambda visit: moment(visit.start),
        "Ends": lambda visit: moment(visit.end),
        "Address": _place,
        "Cancelled": lambda visit: moment(visit.cancelled_at),
    },
    joined=("job__site", "crew"),
)
