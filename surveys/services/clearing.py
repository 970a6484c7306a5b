"""Clearing a suspicion of asbestos: words of somebody who may say so, and a report to show."""

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs.capabilities import Capability
from jobs.errors import InvalidField
from jobs.figures import number
from jobs.models import Opening, Person
from jobs.rules import Rules
from surveys.models import Photo

CLEARED, PAPERS = "/conditions/asbestos_cleared", "/conditions/asbestos_papers"


def check_clearance(
    conditions: Mapping[str, Any], *, actor: Person, opening: Opening, rules: Rules
) -> None:
    """Raises `InvalidField` where a suspicion is cleared by a mark, by somebody who may not, or
    without the photos of a report that the rule set asks for, kept with a survey of the opening."""
    statement, papers = conditions.get("asbestos_cleared"), conditions.get("asbestos_papers", ())
    if not statement:
        if papers:
            raise InvalidField(PAPERS, _("nothing is cleared; leave this out"))
        return
    if not actor.has_capability(Capability.CLEAR_ASBESTOS):
        raise InvalidField(
            CLEARED, _("the office or a surveyor enters who cleared it; tell them of the report")
        )
    _check_statement(statement, rules)
    _check_papers(papers, opening, rules)


def _check_statement(statement: str, rules: Rules) -> None:
    least = rules["asbestos.least_letters"]
    if sum(letter.isalpha() for letter in statement) < least:
        text = _("say who sampled or removed it, when, and by which report: {least} letters{note}")
        raise InvalidField(
            CLEARED,
            text.format(least=number(least), note=rules.note("asbestos.least_letters")),
        )


def _check_papers(papers: Any, opening: Opening, rules: Rules) -> None:
    of_opening = Photo.objects.filter(survey__opening=opening, pk__in=papers)
    if of_opening.count() < len(set(papers)):
        raise InvalidField(PAPERS, _("name photos of the report that surveys of this opening have"))
    least = rules["asbestos.papers"]
    if len(set(papers)) < least:
        text = ngettext(
            "add {least} photo of the report to a survey of this opening, and name it here{note}",
            "add {least} photos of the report to surveys of this opening, and name them here{note}",
            int(least),
        )
        raise InvalidField(
            PAPERS, text.format(least=number(least), note=rules.note("asbestos.papers"))
        )
