"""What stands in the way of ordering a doorset, of taking the old door out, and of setting the
frame into the wall that comes to light then.

Each condition is a small function over the records that yields what is still to be done; nothing
is stored about a gate. None of these can be conceded: a frame cannot be altered once it is made,
and an opening without a door cannot wait.
"""

from collections.abc import Callable, Iterator
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs.arithmetic.errors import UnusableInput
from jobs.blockers import BlockerCode
from jobs.code_labels import code_label
from jobs.errors import Blocker, InvalidField, named
from jobs.figures import number
from jobs.models import Delivery, Doorset, Job, Opening
from jobs.services.doorsets import of_today
from jobs.translation import translated
from surveys.asbestos import asbestos
from surveys.models import CHECKS, FitDecision, Reading, Survey
from surveys.suspects import suspects_of


def order_gate(job: Job) -> list[Blocker]:
    """Of all openings of a job; a job without an opening has nothing to order."""
    return _of_all_openings(job, order_gate_of)


def removal_gate(job: Job) -> list[Blocker]:
    """Of all openings of a job."""
    return _of_all_openings(job, removal_gate_of)


def order_gate_of(opening: Opening) -> list[Blocker]:
    """What stands in the way of ordering the current doorset of one opening."""
    doorset = opening.doorsets.current().first()
    survey = accepted_survey(opening)
    blockers: list[Blocker] = []
    if doorset is None:
        blockers.append(
            _blocker(BlockerCode.DOORSET, _("draft a doorset"), _("there is none"), opening)
        )
    else:
        blockers += not_as_it_may_be(doorset)
    if survey is None:
        blockers += not_surveyed(opening)
    else:
        blockers += newer_survey_waits(survey)
        blockers += instruments_out_of_calibration(survey)
    if doorset and survey:
        blockers += not_checked(survey, doorset)
        blockers += not_shown_to_fit(survey, doorset, doorset.frame_width, doorset.frame_height)
    return blockers


def removal_gate_of(opening: Opening) -> list[Blocker]:
    """What stands in the way of taking the old door out of one opening."""
    return _before_removal(opening, opening.doorsets.current().first())


def removal_gate_for(doorset: Doorset) -> list[Blocker]:
    """The same for the opening of a doorset; one that another revision took the place of decides
    nothing."""
    if doorset.superseded_at:
        return removal_gate_of(doorset.opening)
    return _before_removal(doorset.opening, doorset)


def fixing_gate_for(doorset: Doorset) -> list[Blocker]:
    """What stands in the way of taking the old door out, and then what the wall that came to light
    has against the delivered frame."""
    if doorset.superseded_at:
        return removal_gate_of(doorset.opening)
    return _before_removal(doorset.opening, doorset, door_out=True)


def _before_removal(
    opening: Opening, doorset: Doorset | None, *, door_out: bool = False
) -> list[Blocker]:
    surveys = list(opening.surveys.order_by("-taken_at", "-created_at"))
    if doorset is None or doorset.ordered_at is None:
        ordered = _blocker(
            BlockerCode.ORDER, _("order the doorset"), _("it is not ordered yet"), opening
        )
        return [ordered, *asbestos(surveys)]
    delivery = doorset.deliveries.first()
    if delivery is None:
        arrived = _blocker(
            BlockerCode.DELIVERY, _("record the delivery"), _("nothing has arrived yet"), doorset
        )
        return [arrived, *asbestos(surveys)]
    again = next(
        (survey for survey in surveys if survey.stage == Survey.Stage.BEFORE_REMOVAL), None
    )
    bare = next((survey for survey in surveys if survey.stage == Survey.Stage.AFTER_REMOVAL), None)
    return [
        *delivery_not_accepted(delivery),
        *delivered_size_off(delivery, doorset),
        *leaves_missing(delivery, doorset),
        *not_measured_again(opening, again, doorset, delivery),
        *asbestos(surveys),
        *(_against_delivered(bare, doorset, delivery) if bare and door_out else ()),
    ]


def accepted_survey(opening: Opening) -> Survey | None:
    """The newest accepted first survey: what may be ordered by."""
    accepted = opening.surveys.filter(stage=Survey.Stage.FIRST, accepted_at__isnull=False)
    return accepted.order_by("-taken_at", "-created_at").first()


def survey_before_removal(opening: Opening) -> Survey | None:
    """The newest survey before removal: what the delivered frame is held against."""
    taken = opening.surveys.filter(stage=Survey.Stage.BEFORE_REMOVAL)
    return taken.order_by("-taken_at", "-created_at").first()


def survey_after_removal(opening: Opening) -> Survey | None:
    """The newest survey with the old door out: the first that saw the wall itself."""
    taken = opening.surveys.filter(stage=Survey.Stage.AFTER_REMOVAL)
    return taken.order_by("-taken_at", "-created_at").first()


def newest_survey_on_site(opening: Opening) -> Survey | None:
    """The newest of a visit to fit: with the old door out where it was measured so."""
    return survey_after_removal(opening) or survey_before_removal(opening)


def open_wall_gate_for(doorset: Doorset) -> list[Blocker]:
    """What the wall, seen without the old door, has against the delivered frame; nothing as long
    as it was not measured so."""
    survey, delivery = survey_after_removal(doorset.opening), doorset.deliveries.first()
    if survey is None or delivery is None:
        return []
    return list(_against_delivered(survey, doorset, delivery))


def not_surveyed(opening: Opening) -> Iterator[Blocker]:
    waiting = opening.surveys.filter(stage=Survey.Stage.FIRST).first()
    if waiting is None:
        yield _blocker(
            BlockerCode.SURVEY, _("survey the opening"), _("it was not measured yet"), opening
        )
    elif waiting.agrees_with_itself:
        yield _blocker(
            BlockerCode.SURVEY, _("accept the survey"), _("it was not accepted yet"), waiting
        )
    else:
        yield contradiction(waiting)


def newer_survey_waits(accepted: Survey) -> Iterator[Blocker]:
    """A sound first survey that was taken since says something else, or why was it taken? Nothing
    is ordered by the older one before somebody has looked at it."""
    firsts = accepted.opening.surveys.filter(
        stage=Survey.Stage.FIRST, accepted_at=None, taken_at__gte=accepted.taken_at
    )
    for survey in firsts.order_by("-taken_at", "-created_at"):
        when = survey.taken_at, survey.created_at
        if when > (accepted.taken_at, accepted.created_at) and survey.agrees_with_itself:
            what = _("accept the newer survey and decide by it, or measure again")
            why = _("it was taken after the accepted one, and nobody has accepted it")
            yield _blocker(BlockerCode.SURVEY, what, why, survey)
            return


def contradiction(survey: Survey) -> Blocker:
    suspects = "; ".join(suspects_of(survey))
    why = _(
        "its readings contradict each other, whatever the walls are; to blame could be: {suspects}"
    ).format(suspects=suspects)
    return _blocker(BlockerCode.SURVEY, _("measure the opening again"), why, survey)


def instruments_out_of_calibration(survey: Survey) -> Iterator[Blocker]:
    """As they stood when the readings were taken, whatever was calibrated since."""
    for used in survey.assessment.measured_with.all():
        if not used.in_calibration:
            yield _blocker(
                BlockerCode.CALIBRATION,
                _("measure again with an instrument in calibration instead of {name}").format(
                    name=used.name
                ),
                _("the calibration of {serial} was due on {calibration_due}").format(
                    serial=used.serial, calibration_due=used.calibration_due
                ),
                survey,
            )


def not_checked(survey: Survey, doorset: Doorset) -> Iterator[Blocker]:
    """What one instrument puts into all of its readings alike shows against another alone."""
    rules = doorset.job.rule_set.rules
    limit = rules["survey.second_instrument_from"]
    if doorset.frame_width < limit:
        return
    against = (*CHECKS, Reading.Quantity.KNOWN_LENGTH)
    if not survey.readings.filter(quantity__in=against).exists():
        yield _blocker(
            BlockerCode.SECOND_INSTRUMENT,
            _("read one size with a second instrument, or a rule of known length with the first"),
            _(
                "every size was read with {instrument}; a frame from {limit} mm on is checked{note}"
            ).format(
                instrument=survey.instrument,
                limit=number(limit),
                note=rules.note("survey.second_instrument_from"),
            ),
            survey,
        )


def not_shown_to_fit(
    survey: Survey, doorset: Doorset, width: int, height: int
) -> Iterator[Blocker]:
    """The newest decision about exactly this frame from this survey must be that it fits."""
    decision = decision_about(survey, doorset, width, height)
    size = f"{width} x {height} mm"
    if decision is None:
        why = _("the newest survey and this size have no fit decision yet")
        yield _blocker(
            BlockerCode.FIT,
            _("decide whether a frame of {size} fits").format(size=size),
            why,
            doorset,
        )
    elif decision.verdict != FitDecision.Verdict.FITS:
        yield _blocker(
            BlockerCode.FIT, _remedy(decision, survey), _reasons_of_verdict(decision), decision
        )


def decision_about(survey: Survey, doorset: Doorset, width: int, height: int) -> FitDecision | None:
    """The newest decision whether a frame of this size fits, from this survey: the one that
    decides."""
    about = survey.fit_decisions.filter(doorset=doorset, frame_width=width, frame_height=height)
    decision: FitDecision | None = about.first()
    return decision


def not_as_it_may_be(doorset: Doorset) -> Iterator[Blocker]:
    """A draft is held to what its profile system allows today, not when it was drafted."""
    try:
        today = doorset if doorset.ordered_at else of_today(doorset)
    except (InvalidField, UnusableInput) as refusal:
        what = _("change the draft: its profile system is not what it was when it was drafted")
        yield _blocker(BlockerCode.DOORSET, what, refusal.detail, doorset)
        return
    yield from broken_limits(today)
    yield from unsafe_glass(today)


def broken_limits(doorset: Doorset) -> Iterator[Blocker]:
    """Limits of the profile system that a leaf goes beyond."""
    for broken in doorset.calculation.broken_limits:
        unit = broken.unit
        yield _blocker(
            BlockerCode.PROFILE_LIMIT,
            _("choose more leaves, another profile system or a smaller frame: leaf {leaf}").format(
                leaf=broken.leaf
            ),
            _("its {what} is {value} {unit}; the profile system allows {limit} {unit}").format(
                what=code_label(broken.what),
                value=number(broken.value, ".1f"),
                unit=unit,
                limit=number(broken.limit),
            ),
            doorset,
        )


def unsafe_glass(doorset: Doorset) -> Iterator[Blocker]:
    for finding in doorset.calculation.safety_glazing:
        if finding.unsafe:
            yield _blocker(
                BlockerCode.UNSAFE_GLASS,
                ngettext(
                    "order safety glass for leaf {leaf}, pane {panes} from outside",
                    "order safety glass for leaf {leaf}, panes {panes} from outside",
                    len(finding.unsafe_panes),
                ).format(leaf=finding.leaf, panes=", ".join(map(str, finding.unsafe_panes))),
                _("somebody can walk into it: {required_class}, {source}").format(
                    required_class=finding.required_class, source=translated(finding.source)
                ),
                doorset,
            )


def delivery_not_accepted(delivery: Delivery) -> Iterator[Blocker]:
    if not delivery.accepted:
        what = _("have what was delivered put right, and record the delivery again")
        yield _blocker(
            BlockerCode.DELIVERY,
            what,
            _("not accepted: {damage}").format(damage=delivery.damage),
            delivery,
        )


def delivered_size_off(delivery: Delivery, doorset: Doorset) -> Iterator[Blocker]:
    rules = doorset.job.rule_set.rules
    allowed, note = rules["delivered.size"], rules.note("delivered.size")
    width = _("measure the width of the delivered frame again; if it is confirmed, send it back")
    height = _("measure the height of the delivered frame again; if it is confirmed, send it back")
    for what, ordered, came in (
        (width, doorset.frame_width, delivery.frame_width),
        (height, doorset.frame_height, delivery.frame_height),
    ):
        if abs(came - ordered) > allowed:
            yield _blocker(
                BlockerCode.DELIVERED_SIZE,
                what,
                _(
                    "it is {came} mm, {ordered} mm was ordered, {allowed} mm either way is "
                    "allowed{note}"
                ).format(came=came, ordered=ordered, allowed=number(allowed), note=note),
                delivery,
            )


def leaves_missing(delivery: Delivery, doorset: Doorset) -> Iterator[Blocker]:
    if delivery.leaves_counted != doorset.leaves:
        why = _("leaves counted: {counted}, ordered: {ordered}").format(
            counted=delivery.leaves_counted, ordered=doorset.leaves
        )
        yield _blocker(
            BlockerCode.LEAVES,
            _("have all leaves on site before anything comes out"),
            why,
            delivery,
        )


def not_measured_again(
    opening: Opening, survey: Survey | None, doorset: Doorset, delivery: Delivery
) -> Iterator[Blocker]:
    """`survey`: the newest before removal, which the delivered frame is held against."""
    if survey is None:
        what = _("measure the opening again, with the delivered frame on site")
        yield _blocker(
            BlockerCode.SURVEY_BEFORE_REMOVAL, what, _("no survey before removal"), opening
        )
        return
    yield from _against_delivered(survey, doorset, delivery)


def _against_delivered(survey: Survey, doorset: Doorset, delivery: Delivery) -> Iterator[Blocker]:
    yield from instruments_out_of_calibration(survey)
    if survey.agrees_with_itself:
        size = delivery.frame_width, delivery.frame_height
        yield from not_shown_to_fit(survey, doorset, *size)
    else:
        yield contradiction(survey)


def _remedy(decision: FitDecision, survey: Survey) -> str:
    size = f"{decision.frame_width} x {decision.frame_height} mm"
    if survey.stage == Survey.Stage.BEFORE_REMOVAL:
        return _("leave the old door in: the delivered frame of {size} is not shown to fit").format(
            size=size
        )
    if survey.stage == Survey.Stage.AFTER_REMOVAL:
        return _(
            "do not force the frame in: make the opening good where it touches first, and measure "
            "again; {size} is not shown to fit the wall as it is without the old door"
        ).format(size=size)
    if decision.verdict == FitDecision.Verdict.INCONCLUSIVE:
        return _("measure again or order a smaller frame than {size}").format(size=size)
    largest = decision.largest_frame
    return _("order at most {width} x {height} mm instead of {size}").format(
        width=largest.width, height=largest.height, size=size
    )


def _reasons_of_verdict(decision: FitDecision) -> str:
    reasons = [
        _("verdict: {verdict}, probability that it fits {probability}").format(
            verdict=code_label(decision.verdict),
            probability=number(decision.probability_fits, ".3f"),
        ),
        *map(translated, decision.answer.warnings),
    ]
    return "; ".join(reasons)


def _of_all_openings(job: Job, gate_of: Callable[[Opening], list[Blocker]]) -> list[Blocker]:
    openings = list(job.openings.wanted().order_by("number"))
    if not openings:
        return [
            _blocker(BlockerCode.OPENING, _("add the openings of the job"), _("it has none"), job)
        ]
    return [blocker for opening in openings for blocker in gate_of(opening)]


def _blocker(kind: BlockerCode, what: str, why: str, record: Any) -> Blocker:
    return Blocker(kind, what, why, named(record))
