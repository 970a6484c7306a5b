"""What the fittings of jobs ask of their crews: the lifts of every doorset that is not handed over
yet, taken apart as far as its system allows and as it takes the fewest people."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator
from uuid import UUID

from installs.arithmetic.access import WHAT, Team, team_on_way
from installs.arithmetic.holding import Steps
from installs.arithmetic.lift_ways import LiftedPart, LiftWay
from installs.plan.frame_lift import FRAME_LABELS
from installs.services.calculation_rules import access_rules, lift_rules
from installs.services.lift_plan import team_of, ways_of
from jobs.arithmetic.doorset import Size
from jobs.crew_needs import CrewNeed
from jobs.models import Doorset, Job
from jobs.rules import Rules
from jobs.sentences import Sentence, sentence
from surveys.services.way_in import newest_ways_in

TAKEN_APART = sentence("frame alone, its sashes taken off first")


def lift_needs(jobs: Collection[Job]) -> dict[UUID, list[CrewNeed]]:
    """By job: of each opening what takes the most people, and whatever only an aid lifts."""
    doorsets = (
        Doorset.objects.current()
        .filter(opening__job__in=[job.pk for job in jobs], opening__job__handovers=None)
        .select_related("opening", "profile_system")
        .order_by("opening__number")
    )
    ways_in = newest_ways_in([doorset.opening_id for doorset in doorsets])
    rules = {job.pk: job.rule_set.rules for job in jobs}
    needs: dict[UUID, list[CrewNeed]] = defaultdict(list)
    for doorset in doorsets:
        way_in = ways_in.get(doorset.opening_id)
        of_job = doorset.opening.job_id
        needs[of_job] += _needs(doorset, way_in.steps if way_in else None, rules[of_job])
    return dict(needs)


def _needs(doorset: Doorset, steps: int | None, rules: Rules) -> Iterator[CrewNeed]:
    limits, team = access_rules(rules), team_of(lift_rules(rules))
    on_way = Steps(steps, limits.rise, limits.pitch) if steps else None
    size = Size(doorset.frame_width, doorset.frame_height)
    by_way = [
        (way, _people(way, on_way, team, limits.largest_team))
        for way in ways_of(doorset, size, rules)
    ]
    way, people = min(by_way, key=lambda taken: (_by_aid_alone(taken[1]), _most(taken[1])))
    for part, needed in zip(way.parts, people, strict=True):
        if needed is None or needed == _most(people):
            yield CrewNeed(
                opening=doorset.opening.number,
                what=_label(part, way, doorset),
                mass=part.burden.mass,
                people=needed,
            )


def _people(way: LiftWay, steps: Steps | None, team: Team, largest_team: int) -> list[int | None]:
    return [team_on_way(part, steps, team, largest_team)[0] for part in way.parts]


def _by_aid_alone(people: Iterable[int | None]) -> int:
    return sum(needed is None for needed in people)


def _most(people: Iterable[int | None]) -> int:
    return max((needed for needed in people if needed is not None), default=0)


def _label(part: LiftedPart, way: LiftWay, doorset: Doorset) -> Sentence | str:
    calculation = doorset.calculation
    if part.what != "frame":
        return WHAT[part.what]
    if calculation.sashes == "loose":
        return FRAME_LABELS[None]
    if way.name != "as_it_is":
        return TAKEN_APART
    return FRAME_LABELS["glazed" if calculation.glass == "fitted" else "unglazed"]
