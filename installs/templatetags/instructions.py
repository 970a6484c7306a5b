"""What the maker of the profiles gives to fitters, for the pages of a fitting."""

from django import template
from django.db.models import QuerySet

from installs.labels import PHASES
from installs.models import Installation, MakerInstruction, PlanStep

register = template.Library()


@register.simple_tag
def instructions_of(fitting: Installation, phase: str = "") -> QuerySet[MakerInstruction]:
    """The valid ones of its profile system, by title; with `phase`, those about that one alone."""
    of_system = MakerInstruction.objects.valid().filter(
        profile_system=fitting.doorset.profile_system_id
    )
    return (of_system.filter(phase=phase) if phase else of_system).order_by("title", "id")


@register.filter
def phase_in_words(instruction: MakerInstruction) -> str:
    """Empty where it is about all of the fitting."""
    return str(PHASES[PlanStep.Phase(instruction.phase)]) if instruction.phase else ""
