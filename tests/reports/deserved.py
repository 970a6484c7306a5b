"""What a small job must have on record to get through each of its gates, read from the records and
not from the gates.

Each function yields, in words, what does not hold; it must yield nothing at the moment in which the
gate of that name let something through.
"""

from collections.abc import Iterator

from django.db.models import QuerySet
from django.utils import timezone

from installs.models import Bead, Defect, Fixing, Handover, Inspection, PlanStep, SitePhoto
from installs.services.handing_over import keys_handed_over
from jobs.models import Visit
from jobs.services.doorset_rules import work_out
from surveys.models import FitDecision, Survey
from tests.reports.as_recorded import (
    PASS,
    conceded,
    is_accepted,
    newest_gaps,
    newest_inspections,
    short_places,
    steps_not_shown,
    steps_of,
)
from tests.reports.small_job import AGAIN, FIRST, SmallJob

LEAST_SIDE = 480  # the rule photo.least_side
LEAST_APART = 50  # mm, the rule fixing.least_apart
AS_FIXED = 25  # mm, the rule fixing.as_fixed
SIZE_OFF = 2  # mm, the rule delivered.size
CRITICAL = Defect.Severity.CRITICAL
PHASES = list(PlanStep.Phase)


def ordered(job: SmallJob) -> Iterator[str]:
    """The newest sound survey was accepted, and shows that this frame fits; the doorset is what
    its profile system allows on that day."""
    doorset = job.doorset
    firsts = job.opening.surveys.filter(stage=FIRST).order_by("-taken_at", "-created_at")
    sound = next((survey for survey in firsts if survey.agrees_with_itself), None)
    if sound is None or sound.accepted_at is None:
        yield "the newest sound survey is not accepted"
        return
    yield from _shown_to_fit(job, sound)
    if doorset.calculation != work_out(doorset):
        yield "it was ordered as it was worked out under other limits"
    if doorset.calculation.broken_limits:
        yield "a leaf goes beyond its limits"


def planned(job: SmallJob) -> Iterator[str]:
    """What was ordered has arrived whole, and fits the opening as it is now."""
    doorset = job.doorset
    delivery = doorset.deliveries.order_by("created_at").last()
    if delivery is None or not delivery.accepted:
        yield "nothing was delivered and accepted"
        return
    if delivery.leaves_counted != doorset.leaves:
        yield "a leaf is missing"
    if abs(delivery.frame_width - doorset.frame_width) > SIZE_OFF:
        yield "another frame was delivered than was ordered"
    again = job.opening.surveys.filter(stage=AGAIN).order_by("-taken_at", "-created_at").first()
    if again is None or not again.agrees_with_itself:
        yield "the opening was not measured again"
    else:
        yield from _shown_to_fit(job, again)
    surveys = job.opening.surveys.order_by("-taken_at", "-created_at")
    suspecting = next((s for s in surveys if s.conditions["asbestos_suspected"]), None)
    if suspecting and not suspecting.conditions.get("asbestos_cleared"):
        yield "asbestos is suspected"


def fixed(job: SmallJob) -> Iterator[str]:
    """Nothing can fall on anybody, and the frame is true."""
    yield from planned(job)
    yield from _hold_points(job, before=PlanStep.Phase.FIXING)
    yield from _steps(job, gate="fixing")


def glazed(job: SmallJob) -> Iterator[str]:
    """The frame is held by its fixings, and they have not pulled it out of true."""
    yield from _hold_points(job, before=PlanStep.Phase.GLAZING)
    yield from _steps(job, gate="glazing")
    yield from _fixings(job)


def certified(job: SmallJob) -> Iterator[str]:
    yield from planned(job)
    yield from _hold_points(job)
    yield from _defects(job)
    yield from _steps(job)
    yield from _fixings(job)
    yield from _glass(job)
    yield from _photos(job)
    yield from _handed_over(job)
    yield from _visits(job)


def _shown_to_fit(job: SmallJob, survey: Survey) -> Iterator[str]:
    decision = survey.fit_decisions.filter(doorset=job.doorset).order_by("created_at").last()
    if decision is None or decision.verdict != FitDecision.Verdict.FITS:
        yield f"the survey {survey.stage} does not show that it fits"
    if survey.instrument.calibration_due < timezone.localdate(survey.visit.start):
        yield f"the survey {survey.stage} was read with a tape out of calibration"


def _hold_points(job: SmallJob, before: str = "") -> Iterator[str]:
    earlier = PHASES[: PHASES.index(PlanStep.Phase(before))] if before else PHASES
    newest = newest_inspections(job)
    for step in steps_of(job).filter(hold_point=True, phase__in=earlier):
        if step.pk not in newest or newest[step.pk].outcome != PASS:
            yield f"hold point {step.code} is not released"


def _steps(job: SmallJob, gate: str = "") -> Iterator[str]:
    newest = newest_inspections(job)
    for step in steps_of(job).exclude(gates=[]):
        if gate and gate not in step.gates:
            continue
        if step.pk not in newest or short_places(newest[step.pk]):
            yield f"step {step.code} fell short"


def _defects(job: SmallJob) -> Iterator[str]:
    for defect in job.open_defects:
        if defect.severity == CRITICAL or not is_accepted(defect):
            yield f"a {defect.severity} defect is open: {defect.description}"


def _fixings(job: SmallJob) -> Iterator[str]:
    """Every planned place has a screw, or its lack was accepted; two in one hole are one."""
    screws = _screws(job)
    accepted = conceded(job).filter(code="fixing_position")
    places = set(accepted.values_list("place", flat=True))
    for member in job.installation.plan.fixing_layout.members if job.installation else ():
        fixed_at = sorted(screws.filter(member=member.name).values_list("position", flat=True))
        apart = [at for n, at in enumerate(fixed_at) if not n or at - fixed_at[n - 1] > LEAST_APART]
        if len(apart) < len(member.positions or ()):
            yield f"the {member.name} has too few screws"
        for position in member.positions or ():
            near = any(abs(at - position) <= AS_FIXED for at in fixed_at)
            if not near and f"{member.name} {position:g}" not in places:
                yield f"the {member.name} is not fixed at {position:g}"


def _screws(job: SmallJob) -> QuerySet[Fixing]:
    made = Fixing.objects.filter(installation=job.installation)
    return made.exclude(kind=Fixing.Kind.FOAM_ONLY)


def _glass(job: SmallJob) -> Iterator[str]:
    for gap in newest_gaps(job):
        accepted = {"code": "junction_gap", "place": str(gap.junction)}
        since = conceded(job).filter(**accepted, created_at__gte=gap.created_at)
        if gap.decision != PASS and not since.exists():
            yield f"junction {gap.junction} is uneven"
    sashes = job.installation.sashes.all() if job.installation else ()
    if len(sashes) < job.doorset.leaves:
        yield "nothing is on record of a sash"
    for sash in sashes:
        if not (sash.blocks_set and sash.brace_set and sash.glass_marking):
            yield f"sash {sash.leaf} is not complete"
    if Bead.objects.filter(installation=job.installation, put_back_at=None).exists():
        yield "a bead is still off"


def _photos(job: SmallJob) -> Iterator[str]:
    for photo in SitePhoto.objects.all():
        if min(photo.width, photo.height) < LEAST_SIDE:
            yield "a picture is too small to show anything"
    for step in steps_not_shown(job):
        yield f"no picture shows step {step.code} alone"


def _handed_over(job: SmallJob) -> Iterator[str]:
    known = keys_handed_over(job.job)
    for opening in job.job.openings.filter(left_out_at=None):
        doorset = opening.doorsets.current().first()
        installation = getattr(doorset, "installation", None)
        if installation is None or str(installation.pk) not in known:
            yield f"{opening} was not handed over"
    for handover in job.job.handovers.all():
        if not handover.signature and not handover.unsigned_because:
            yield "nobody signed, and nobody says why"
        if not handover.demonstrated or not handover.care_given:
            yield "the customer was not shown how to use it"


def _visits(job: SmallJob) -> Iterator[str]:
    handover = Handover.objects.filter(job=job.job).order_by("created_at").last()
    for visit in Visit.objects.not_cancelled().filter(job=job.job, kind=Visit.Kind.FITTING):
        booked_since = handover and visit.created_at > handover.created_at
        if not booked_since and not (visit.has_begun and visit.is_over):
            yield f"{visit} has not begun and ended"
    for inspection in newest_inspections(job).values():
        if inspection.return_on and not _returns_after(job, inspection):
            yield "tape stays inside, and nobody comes back for it"


def _returns_after(job: SmallJob, inspection: Inspection) -> bool:
    returns = Visit.objects.not_cancelled().filter(job=job.job, kind=Visit.Kind.RETURN)
    return returns.filter(end__gt=inspection.created_at).exists()
