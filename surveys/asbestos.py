"""What the surveys of an opening say of asbestos before its old door comes out."""

from collections.abc import Iterable, Iterator

from django.utils.translation import gettext as _

from jobs.blockers import BlockerCode
from jobs.code_labels import code_label
from jobs.errors import Blocker, named
from surveys.models import Survey


def asbestos(surveys: Iterable[Survey]) -> Iterator[Blocker]:
    """Of an opening; `surveys` are all of it, the newest first."""
    surveys = list(surveys)
    suspected = list(suspected_asbestos(surveys))
    yield from suspected or not_surveyed_for_asbestos(surveys)


def suspected_asbestos(surveys: Iterable[Survey]) -> Iterator[Blocker]:
    """A suspicion stands until a survey says how it was cleared; silence does not clear it."""
    suspecting = next((s for s in surveys if s.conditions["asbestos_suspected"]), None)
    if suspecting and not suspecting.conditions.get("asbestos_cleared"):
        yield Blocker(
            BlockerCode.ASBESTOS,
            _("stop: have it sampled by a competent person, and record how it was cleared"),
            _("asbestos is suspected in or about the opening"),
            named(suspecting),
        )


def not_surveyed_for_asbestos(surveys: Iterable[Survey]) -> Iterator[Blocker]:
    """What hides in an old building is looked for before it is opened up. One survey for asbestos
    is enough, whichever of ours names it; the newest that says when it was built is believed."""
    surveys = list(surveys)
    dated = next((s for s in surveys if s.conditions.get("built")), None)
    if dated is None or dated.conditions["built"] == "from_2000":
        return
    if any(survey.conditions.get("asbestos_cleared") for survey in surveys):
        return
    yield Blocker(
        BlockerCode.ASBESTOS,
        _("have what is opened up surveyed for asbestos, and record who surveyed it"),
        _("built: {age}; it may hold asbestos that nobody has seen").format(
            age=code_label(dated.conditions["built"])
        ),
        named(dated),
    )
