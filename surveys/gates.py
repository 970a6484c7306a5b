"""What stands in the way of ordering a doorset, and of taking the old door out.

Each condition is a small function over the records that yields what is still to be done; nothing
is stored about a gate. None of these can be conceded: a frame cannot be altered once it is made,
and an opening without a door cannot wait.
"""

from collections.abc import Callable, Iterable, Iterator
from typing import Any

from jobs.blockers import BlockerCode
from jobs.errors import Blocker, named
from jobs.models import Delivery, Doorset, Job, Opening
from surveys.models import FitDecision, Survey


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
        blockers.append(_blocker(BlockerCode.DOORSET, "draft a doorset", "there is none", opening))
    else:
        blockers += [*broken_limits(doorset), *unsafe_glass(doorset)]
    if survey is None:
        blockers += not_surveyed(opening)
    else:
        blockers += instruments_out_of_calibration(survey)
    if doorset and survey:
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


def _before_removal(opening: Opening, doorset: Doorset | None) -> list[Blocker]:
    surveys = list(opening.surveys.order_by("-taken_at", "-created_at"))
    if doorset is None or doorset.ordered_at is None:
        ordered = _blocker(BlockerCode.ORDER, "order the doorset", "it is not ordered yet", opening)
        return [ordered, *suspected_asbestos(surveys)]
    delivery = doorset.deliveries.first()
    if delivery is None:
        arrived = _blocker(
            BlockerCode.DELIVERY, "record the delivery", "nothing has arrived yet", doorset
        )
        return [arrived, *suspected_asbestos(surveys)]
    again = next((one for one in surveys if one.stage == Survey.Stage.BEFORE_REMOVAL), None)
    return [
        *delivery_not_accepted(delivery),
        *delivered_size_off(delivery, doorset),
        *leaves_missing(delivery, doorset),
        *not_measured_again(opening, again, doorset, delivery),
        *suspected_asbestos(surveys),
    ]


def accepted_survey(opening: Opening) -> Survey | None:
    """The newest accepted first survey: what may be ordered by."""
    accepted = opening.surveys.filter(stage=Survey.Stage.FIRST, accepted_at__isnull=False)
    return accepted.order_by("-taken_at", "-created_at").first()


def survey_before_removal(opening: Opening) -> Survey | None:
    """The newest survey before removal: what the delivered frame is held against."""
    taken = opening.surveys.filter(stage=Survey.Stage.BEFORE_REMOVAL)
    return taken.order_by("-taken_at", "-created_at").first()


def not_surveyed(opening: Opening) -> Iterator[Blocker]:
    waiting = opening.surveys.filter(stage=Survey.Stage.FIRST).first()
    if waiting is None:
        yield _blocker(BlockerCode.SURVEY, "survey the opening", "it was not measured yet", opening)
    elif waiting.agrees_with_itself:
        yield _blocker(BlockerCode.SURVEY, "accept the survey", "it was not accepted yet", waiting)
    else:
        yield contradiction(waiting)


def contradiction(survey: Survey) -> Blocker:
    suspects = ", ".join(found.reading for found in survey.assessment.suspect_readings)
    why = f"its readings contradict each other; to blame could be: {suspects}"
    return _blocker(BlockerCode.SURVEY, "measure the opening again", why, survey)


def instruments_out_of_calibration(survey: Survey) -> Iterator[Blocker]:
    """As they stood when the readings were taken, whatever was calibrated since."""
    for used in survey.assessment.measured_with.all():
        if not used.in_calibration:
            yield _blocker(
                BlockerCode.CALIBRATION,
                f"measure again with an instrument in calibration instead of {used.name}",
                f"the calibration of {used.serial} was due on {used.calibration_due}",
                survey,
            )


def not_shown_to_fit(
    survey: Survey, doorset: Doorset, width: int, height: int
) -> Iterator[Blocker]:
    """The newest decision about exactly this frame from this survey must be that it fits."""
    decision = decision_about(survey, doorset, width, height)
    size = f"{width} x {height} mm"
    if decision is None:
        why = "the newest survey and this size have no fit decision yet"
        yield _blocker(BlockerCode.FIT, f"decide whether a frame of {size} fits", why, doorset)
    elif decision.verdict != FitDecision.Verdict.FITS:
        yield _blocker(
            BlockerCode.FIT, _remedy(decision, survey), _verdict_in_words(decision), decision
        )


def decision_about(survey: Survey, doorset: Doorset, width: int, height: int) -> FitDecision | None:
    """The newest decision whether a frame of this size fits, from this survey: the one that
    decides."""
    about = survey.fit_decisions.filter(doorset=doorset, frame_width=width, frame_height=height)
    decision: FitDecision | None = about.first()
    return decision


def broken_limits(doorset: Doorset) -> Iterator[Blocker]:
    """Limits of the profile system that a leaf goes beyond."""
    for broken in doorset.calculation.broken_limits:
        unit = broken.unit
        yield _blocker(
            BlockerCode.PROFILE_LIMIT,
            f"choose more leaves, another profile system or a smaller frame: leaf {broken.leaf}",
            f"its {broken.what} is {broken.value:.1f} {unit}; "
            f"the profile system allows {broken.limit:g} {unit}",
            doorset,
        )


def unsafe_glass(doorset: Doorset) -> Iterator[Blocker]:
    for finding in doorset.calculation.safety_glazing:
        if finding.unsafe:
            panes = " and ".join(str(pane) for pane in finding.unsafe_panes)
            yield _blocker(
                BlockerCode.UNSAFE_GLASS,
                f"order safety glass for leaf {finding.leaf}, pane {panes} from outside",
                f"somebody can walk into it: {finding.required_class}, {finding.source}",
                doorset,
            )


def delivery_not_accepted(delivery: Delivery) -> Iterator[Blocker]:
    if not delivery.accepted:
        what = "have what was delivered put right, and record the delivery again"
        yield _blocker(BlockerCode.DELIVERY, what, f"not accepted: {delivery.damage}", delivery)


def delivered_size_off(delivery: Delivery, doorset: Doorset) -> Iterator[Blocker]:
    rules = doorset.job.rule_set.rules
    allowed, note = rules["delivered.size"], rules.note("delivered.size")
    for name, ordered, came in (
        ("width", doorset.frame_width, delivery.frame_width),
        ("height", doorset.frame_height, delivery.frame_height),
    ):
        if abs(came - ordered) > allowed:
            yield _blocker(
                BlockerCode.DELIVERED_SIZE,
                f"measure the delivered frame's {name} again; if it stands, send the frame back",
                f"it is {came} mm, {ordered} mm was ordered, {allowed:g} mm either way is allowed"
                f"{note}",
                delivery,
            )


def leaves_missing(delivery: Delivery, doorset: Doorset) -> Iterator[Blocker]:
    if delivery.leaves_counted != doorset.leaves:
        why = f"{delivery.leaves_counted} leaves were counted, {doorset.leaves} were ordered"
        yield _blocker(
            BlockerCode.LEAVES, "have all leaves on site before anything comes out", why, delivery
        )


def not_measured_again(
    opening: Opening, survey: Survey | None, doorset: Doorset, delivery: Delivery
) -> Iterator[Blocker]:
    """`survey`: the newest before removal, which the delivered frame is held against."""
    if survey is None:
        what = "measure the opening again, with the delivered frame on site"
        yield _blocker(BlockerCode.SURVEY_BEFORE_REMOVAL, what, "no survey before removal", opening)
        return
    yield from instruments_out_of_calibration(survey)
    if survey.agrees_with_itself:
        size = delivery.frame_width, delivery.frame_height
        yield from not_shown_to_fit(survey, doorset, *size)
    else:
        yield contradiction(survey)


def suspected_asbestos(surveys: Iterable[Survey]) -> Iterator[Blocker]:
    """A suspicion stands until a survey says how it was cleared; silence does not clear it.
    `surveys` are those of an opening, the newest first."""
    suspecting = next((s for s in surveys if s.conditions["asbestos_suspected"]), None)
    if suspecting and not suspecting.conditions.get("asbestos_cleared"):
        yield _blocker(
            BlockerCode.ASBESTOS,
            "stop: have it sampled by a competent person, and record how it was cleared",
            "asbestos is suspected in or about the opening",
            suspecting,
        )


def _remedy(decision: FitDecision, survey: Survey) -> str:
    size = f"{decision.frame_width} x {decision.frame_height} mm"
    if survey.stage == Survey.Stage.BEFORE_REMOVAL:
        return f"leave the old door in: the delivered frame of {size} is not shown to fit"
    if decision.verdict == FitDecision.Verdict.INCONCLUSIVE:
        return f"measure again or order a smaller frame than {size}"
    largest = decision.largest_frame
    return f"order at most {largest.width} x {largest.height} mm instead of {size}"


def _verdict_in_words(decision: FitDecision) -> str:
    told = [
        f"verdict: {decision.get_verdict_display().lower()}, probability that it fits "
        f"{decision.probability_fits:.3f}",
        *decision.answer.warnings,
    ]
    return "; ".join(told)


def _of_all_openings(job: Job, gate_of: Callable[[Opening], list[Blocker]]) -> list[Blocker]:
    openings = list(job.openings.order_by("number"))
    if not openings:
        return [_blocker(BlockerCode.OPENING, "add the openings of the job", "it has none", job)]
    return [blocker for opening in openings for blocker in gate_of(opening)]


def _blocker(kind: BlockerCode, what: str, why: str, record: Any) -> Blocker:
    return Blocker(kind, what, why, named(record))
