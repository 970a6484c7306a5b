"""What is known of an opening, and what whoever looks at it may measure there."""

from typing import Any

from django.db.models import QuerySet
from django.http import HttpRequest
from django.urls import reverse

from jobs.models import Doorset, Opening, Person, Visit
from jobs.views.access import person_of
from surveys.gates import removal_gate_of
from surveys.models import Survey
from surveys.reading_kinds import Size
from surveys.services.readings import read_size
from surveys.services.surveys import VISIT_OF_STAGE


def surveys_of(request: HttpRequest, opening: Opening) -> QuerySet[Survey]:
    """Of this opening, the newest first."""
    visible = Survey.objects.visible_to(person_of(request)).filter(opening=opening)
    return visible.select_related("surveyor", "instrument").order_by("-taken_at", "-created_at")


def address_of(opening: Opening, name: str, *more: Any) -> str:
    """Address of a page of this opening, or of one of its surveys."""
    return reverse(name, args=(opening.job.reference, opening.number, *more))


def current_doorset(opening: Opening) -> Doorset | None:
    return opening.doorsets.current().select_related("profile_system").first()


def visits_for(person: Person, opening: Opening, stage: str) -> QuerySet[Visit]:
    """Visits of the person on which this survey could be taken, the latest first."""
    visits = Visit.objects.visible_to(person).not_cancelled().filter(job=opening.job)
    kind = VISIT_OF_STAGE[Survey.Stage(stage)]
    return visits.filter(kind=kind).select_related("crew").order_by("-start").distinct()


def stages_of_visits(person: Person, opening: Opening) -> list[str]:
    """Stages for which the person has a visit."""
    kinds = set(
        Visit.objects.visible_to(person)
        .not_cancelled()
        .filter(job=opening.job)
        .values_list("kind", flat=True)
    )
    return [str(stage) for stage, kind in VISIT_OF_STAGE.items() if kind in kinds]


def stages_open_to(person: Person, opening: Opening) -> list[str]:
    """Of these, those that can be taken now; the one that is due comes first."""
    may_come_out = not removal_gate_of(opening)
    stages = stages_of_visits(person, opening)
    if not may_come_out:
        stages = [stage for stage in stages if stage != Survey.Stage.AFTER_REMOVAL]
    due = _stage_due(opening, may_come_out=may_come_out)
    return sorted(stages, key=lambda stage: stage != due)


def _stage_due(opening: Opening, *, may_come_out: bool) -> str:
    if may_come_out:
        return str(Survey.Stage.AFTER_REMOVAL)
    doorset = current_doorset(opening)
    ordered = doorset is not None and doorset.ordered_at is not None
    return str(Survey.Stage.BEFORE_REMOVAL if ordered else Survey.Stage.FIRST)


def known_size(opening: Opening, latest: Survey | None) -> Size | None:
    """About how large the opening is: as last read, else as the drafted frame is."""
    if latest:
        return read_size(latest)
    doorset = current_doorset(opening)
    return Size(doorset.frame_width, doorset.frame_height) if doorset else None
