"""The gates of a whole job, its certificate's the last of them, and those of other papers."""

from collections.abc import Iterator

from django.utils.translation import gettext as _

from installs.gates import fitting_gates, handover_gate
from installs.models import Inspection
from installs.services.handing_over import (
    current_installations,
    keys_handed_over,
    newest_handover,
)
from jobs.blockers import BlockerCode
from jobs.errors import Blocker, named
from jobs.figures import day
from jobs.models import Job, Visit
from reports.journal_gate import contradicting_the_journal
from reports.models import Document
from surveys.gates import order_gate, removal_gate
from surveys.models import Survey


def all_gates(job: Job) -> dict[str, list[Blocker]]:
    """Every gate in the order a job passes them, with its blockers."""
    fitting = fitting_gates(job)
    before_certificate = _before_certificate(job, fitting["handover"])
    return {
        "order": order_gate(job),
        "removal": removal_gate(job),
        **fitting,
        "certificate": before_certificate or _where_it_is_next(job),
    }


def _where_it_is_next(job: Job) -> list[Blocker]:
    """Comparing a job with the journal takes a while, so it is done where a certificate can be the
    next thing, and not for every look at a job that has one."""
    certificates = Document.objects.filter(job=job, kind=Document.Kind.COMPLETION_CERTIFICATE)
    return [] if certificates.current().exists() else contradicting_the_journal(job)


def certificate_gate(job: Job) -> list[Blocker]:
    return _before_certificate(job, handover_gate(job)) or contradicting_the_journal(job)


def _before_certificate(job: Job, before_handover: list[Blocker]) -> list[Blocker]:
    """Handed over, and everything that the handover rested on still holds.

    What was recorded since (a defect, a check that failed when it was repeated) closes the handover
    gate again, and this one with it.
    """
    return [
        *not_handed_over(job),
        *fittings_not_over(job),
        *before_handover,
        *nobody_comes_back_for_the_tape(job),
    ]


def not_handed_over(job: Job) -> Iterator[Blocker]:
    """A handover that does not name a doorset fitted now was the handover of something else."""
    fitted = {str(installation.pk) for installation in current_installations(job)}
    known = keys_handed_over(job)
    if not known or not fitted <= set(known):
        yield Blocker(
            BlockerCode.HANDOVER,
            _("hand the doorsets over to the customer and record it"),
            _("the certificate carries the customer's acknowledgement"),
            named(job),
        )


def fittings_not_over(job: Job) -> Iterator[Blocker]:
    """What was fitted at a visit that is still ahead, or goes on, is not finished; what is booked
    after the handover is another matter. The handover ends those that are under way."""
    handover = newest_handover(job)
    fittings = job.visits.not_cancelled().filter(kind=Visit.Kind.FITTING)
    if handover:
        fittings = fittings.filter(created_at__lte=handover.created_at)
    for visit in fittings.order_by("start", "id"):
        if not visit.has_begun or not visit.is_over:
            under_way = _("end the fitting visit of {day}")
            ahead = _("cancel the fitting visit of {day} if nothing is left to do at it")
            what = under_way if visit.has_begun else ahead
            why = _("it goes on") if visit.has_begun else _("it is still to come")
            yield Blocker(BlockerCode.VISIT, what.format(day=day(visit.start)), why, named(visit))


def nobody_comes_back_for_the_tape(job: Job) -> Iterator[Blocker]:
    """Protective tape that stays inside while others work there bakes on if it is forgotten."""
    for installation in current_installations(job):
        inspections = Inspection.objects.filter(step__installation=installation)
        to_return = inspections.left_for_return().select_related("step")
        for inspection in to_return.order_by("step__number"):
            visits = job.visits.not_cancelled().filter(kind=Visit.Kind.RETURN)
            if not visits.filter(end__gt=inspection.created_at).exists():
                what = _("book a return visit, about {day}, to take the tape off")
                yield Blocker(
                    BlockerCode.RETURN_VISIT,
                    what.format(day=day(inspection.return_on)),
                    _("protective tape was left inside"),
                    named(inspection.step),
                )


def survey_sheet_gate(job: Job) -> list[Blocker]:
    """A survey sheet shows what was measured, be it accepted or not."""
    if Survey.objects.filter(opening__job=job).exists():
        return []
    what = _("survey an opening and record its readings")
    why = _("a survey sheet says what was measured")
    return [Blocker(BlockerCode.SURVEY, what, why, named(job))]


def fitting_pack_gate(job: Job) -> list[Blocker]:
    """A fitting pack shows the plan of every doorset whose fitting is planned."""
    if current_installations(job).exists():
        return []
    what = _("plan the fitting of a doorset")
    why = _("a fitting pack says how it is planned")
    return [Blocker(BlockerCode.INSTALLATION, what, why, named(job))]
