"""What stands in the way of fixing a frame, of glazing it, and of handing it over.

Each condition is a small function over the records; nothing is stored about a gate.
"""

from collections.abc import Callable, Iterable, Iterator
from datetime import datetime

from django.db.models import Max

from installs.arithmetic.as_fixed import planned_without_fixing
from installs.models import Defect, Inspection, Installation, PlanStep
from installs.standing import StepStanding, conceded_since, newest_gaps, step_standings
from jobs.models import Job, Opening
from jobs.refusals import Blocker, named

PHASES = list(PlanStep.Phase)
BEFORE_FIXING = ("damp_proof_course", "sill_level", "plumb", "level", "diagonals")
BEFORE_GLAZING = ("bow", "clear_height")


def fixing_gate(job: Job) -> list[Blocker]:
    """For all openings of a job."""
    return _for_all_openings(job, fixing_gate_of)


def glazing_gate(job: Job) -> list[Blocker]:
    """For all openings of a job."""
    return _for_all_openings(job, glazing_gate_of)


def handover_gate(job: Job) -> list[Blocker]:
    """For all openings of a job."""
    return _for_all_openings(job, handover_gate_of)


def fixing_gate_of(installation: Installation) -> list[Blocker]:
    """The frame stands true on a sound sill, and nothing can fall on anybody."""
    standings = step_standings(installation)
    return [
        *hold_points(standings, before_phase=PlanStep.Phase.FIXING, besides=BEFORE_FIXING),
        *steps_not_passed(standings, BEFORE_FIXING),
    ]


def glazing_gate_of(installation: Installation) -> list[Blocker]:
    """The frame is held by its fixings, and they have not pulled it out of true."""
    standings = step_standings(installation)
    return [
        *hold_points(standings, before_phase=PlanStep.Phase.GLAZING),
        *members_without_layout(installation),
        *too_few_mechanical_fixings(installation),
        *fixings_off_their_place(installation),
        *steps_not_passed(standings, BEFORE_GLAZING),
    ]


def handover_gate_of(installation: Installation) -> list[Blocker]:
    """Everything before the handover is done, looked at, and as it must be."""
    standings = step_standings(installation)
    own = PlanStep.Phase.HANDOVER
    before = [standing.step.code for standing in standings if standing.step.phase != own]
    return [
        *steps_not_passed(standings, before),
        *members_without_layout(installation),
        *too_few_mechanical_fixings(installation),
        *fixings_off_their_place(installation),
        *uneven_gaps(installation),
        *incomplete_sashes(installation),
        *open_defects(installation),
    ]


def hold_points_before(step: PlanStep) -> list[Blocker]:
    """Hold points that come before a step in its plan and have not passed."""
    standings = step_standings(step.installation)
    return [
        _of_step(standing)
        for standing in standings
        if standing.step.hold_point and standing.step.number < step.number and not standing.passed
    ]


def hold_points(
    standings: list[StepStanding], *, before_phase: str, besides: Iterable[str] = ()
) -> Iterator[Blocker]:
    """Hold points of earlier phases, save those that are named elsewhere."""
    earlier = PHASES[: PHASES.index(PlanStep.Phase(before_phase))]
    for standing in standings:
        step = standing.step
        if step.hold_point and step.phase in earlier and step.code not in besides:
            yield from _unless_passed(standing)


def steps_not_passed(standings: list[StepStanding], codes: Iterable[str]) -> Iterator[Blocker]:
    wanted = set(codes)
    for standing in standings:
        if standing.step.code in wanted:
            yield from _unless_passed(standing)


def members_without_layout(installation: Installation) -> Iterator[Blocker]:
    """A member for which the rules leave no layout is fixed by judgement, and that is conceded."""
    for member in installation.plan["fixing_layout"]["members"]:
        if member["positions"] is None and not _conceded(installation, "fixing_layout", None):
            yield _blocker(
                "fixing_layout",
                f"have the office accept how the {member['name']} is fixed",
                f"no layout keeps to the rules: {member['reason']}",
                installation,
            )


def too_few_mechanical_fixings(installation: Installation) -> Iterator[Blocker]:
    """Never to be conceded: a frame that only foam holds falls out of the wall."""
    rules = installation.rule_set.rules
    for member in installation.plan["fixing_layout"]["members"]:
        wanted = member["count"] or rules["fixing.min_fixings"]
        made = list(installation.fixings.filter(member=member["name"]))
        mechanical = sum(fixing.is_mechanical for fixing in made)
        if mechanical < wanted:
            foam = "; foam is no fixing" if len(made) > mechanical else ""
            yield Blocker(
                "mechanical_fixing",
                f"fix the {member['name']} mechanically, {wanted - mechanical} more",
                f"{mechanical} of {wanted} mechanical fixings are recorded{foam}",
                named(installation),
            )


def fixings_off_their_place(installation: Installation) -> Iterator[Blocker]:
    within = installation.rule_set.rules["fixing.as_fixed"]
    newest = installation.fixings.aggregate(newest=Max("created_at"))["newest"]
    if newest and _conceded(installation, "fixing_position", newest):
        return
    for member in installation.plan["fixing_layout"]["members"]:
        fixed = [
            fixing.position
            for fixing in installation.fixings.filter(member=member["name"])
            if fixing.is_mechanical
        ]
        for place in planned_without_fixing(member["positions"] or (), fixed, within):
            yield _blocker(
                "fixing_position",
                f"fix the {member['name']} at {place:g} mm",
                f"no mechanical fixing sits within {within:g} mm of it",
                installation,
            )


def uneven_gaps(installation: Installation) -> Iterator[Blocker]:
    newest = newest_gaps(installation)
    for number in (junction["number"] for junction in installation.plan["junctions"]):
        gap = newest.get(number)
        if gap is None:
            what = f"read the gaps at head and sill of junction {number}"
            yield Blocker("junction_gap", what, "they were not read", named(installation))
        elif gap.decision != Inspection.Outcome.PASS and not _conceded(
            installation, "junction_gap", gap.created_at
        ):
            yield _blocker(
                "junction_gap",
                f"set the running gear at junction {number} and read its gaps again",
                f"head {gap.head_gap:g} mm, sill {gap.sill_gap:g} mm; {gap.limit:g} mm apart is "
                f"allowed: {gap.decision}",
                installation,
            )


def incomplete_sashes(installation: Installation) -> Iterator[Blocker]:
    recorded = {sash.leaf: sash for sash in installation.sashes.all()}
    for number in (leaf["number"] for leaf in installation.plan["leaves"]):
        sash = recorded.get(number)
        if sash is None:
            what = f"record sash {number}: beads, blocks, brace, glass marking"
            yield Blocker("sash", what, "nothing is recorded of it", named(installation))
        elif not sash.is_complete:
            what = f"complete sash {number}: beads, blocks, brace, glass marking"
            yield Blocker("sash", what, "something of it is not done", named(sash))


def open_defects(installation: Installation) -> Iterator[Blocker]:
    """A defect of a step goes with the concession of that step; other minor ones with their own."""
    for defect in installation.defects.open().order_by("created_at", "id"):
        if defect.severity != Defect.Severity.CRITICAL and defect.concession_set.exists():
            continue
        minor = defect.severity == Defect.Severity.MINOR
        if defect.put_right_at:
            what = f"have it looked at again: {defect.description}"
        else:
            what = f"put right: {defect.description}"
        code = "minor_defect" if minor else "defect"
        why = f"a {defect.severity} defect is open"
        yield _blocker(code, what, why, installation, about=defect)


def _unless_passed(standing: StepStanding) -> Iterator[Blocker]:
    if not standing.passed:
        yield _of_step(standing)


def _of_step(standing: StepStanding) -> Blocker:
    step = standing.step
    if standing.inspection is None:
        what = f"do and record step {step.number}: {step.title}"
        return Blocker(step.code, what, "it has not been recorded", named(step))
    what = f"put right and record again step {step.number}: {step.title}"
    outcome = standing.inspection.get_outcome_display()
    return _blocker(step.code, what, f"its newest record: {outcome}", step.installation, about=step)


def _blocker(
    code: str,
    what: str,
    why: str,
    installation: Installation,
    *,
    about: PlanStep | Defect | None = None,
) -> Blocker:
    """A blocker that the office may concede where the rule set of the installation says so."""
    concedable = code in installation.rule_set.rules["concession.allowed"]
    return Blocker(code, what, why, named(about or installation), concedable=concedable)


def _conceded(installation: Installation, code: str, recorded_at: datetime | None) -> bool:
    return conceded_since(installation.concessions.all(), code, recorded_at)


def _for_all_openings(job: Job, gate_of: Callable[[Installation], list[Blocker]]) -> list[Blocker]:
    openings = list(job.openings.order_by("number"))
    if not openings:
        return [Blocker("opening", "add the openings of the job", "it has none", named(job))]
    return [blocker for opening in openings for blocker in _of_opening(opening, gate_of)]


def _of_opening(
    opening: Opening, gate_of: Callable[[Installation], list[Blocker]]
) -> list[Blocker]:
    installation = Installation.objects.filter(
        doorset__opening=opening, doorset__superseded_at=None
    ).first()
    if installation is None:
        what = "plan the fitting of its doorset"
        return [Blocker("installation", what, "nothing has been fitted", named(opening))]
    return gate_of(installation)
