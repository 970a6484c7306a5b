"""Whether the crew that is there lifts the frame by itself, and what is said where it does not."""

from collections.abc import Mapping

from django.utils.translation import gettext as _

from installs.models import Installation, PlanStep
from installs.plan.frame_lift import NEVER_ALONE
from jobs.errors import InvalidField
from jobs.figures import figure


def people_for_frame(installation: Installation) -> int | None:
    """How many people the frame takes, or with its sashes taken off first the frame and the
    heaviest sash, whichever are fewer, and never one alone; None where no team lifts it."""
    lifts = installation.plan.lifts
    ways = [[lifts.frame.people_needed]]
    if off := lifts.sashes_off:
        ways.append([off.frame.people_needed, off.heaviest_sash.people_needed])
    teams = [[people for people in way if people is not None] for way in ways if None not in way]
    return max(NEVER_ALONE, min(map(max, teams))) if teams else None


def crew_short_of(installation: Installation) -> str:
    """Why the crew of the visit does not lift the frame alone, in words; nothing where it does."""
    booked, people = installation.visit.people.count(), people_for_frame(installation)
    if people is not None and booked >= people:
        return ""
    mass = figure(round(installation.plan.lifts.frame.mass))
    if people is None:
        return _("no team lifts this frame of about {mass} kg: a lifting aid is needed").format(
            mass=mass
        )
    text = _(
        "the frame of about {mass} kg takes {people} people or a lifting aid; booked: {booked}"
    )
    return text.format(booked=booked, mass=mass, people=people)


def check_lifted_with(step: PlanStep, lifted_with: str, checks: Mapping[str, bool]) -> None:
    """Raises `InvalidField` where a frame is said to be in and not who lifted it beside a crew that
    is too small, or with which aid; and at a step that lifts nothing."""
    if "lifted_with" not in step.asks:
        if lifted_with:
            raise InvalidField("/lifted_with", _("nothing is lifted at this step"))
        return
    short = crew_short_of(step.installation)
    if short and not lifted_with and all(checks.values()):
        text = _("{why}. Name who helped, or the lifting aid")
        raise InvalidField("/lifted_with", text.format(why=short))
