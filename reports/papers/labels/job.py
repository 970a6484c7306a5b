"""Labels of the record of a job: what a paper says besides the bare figures."""

from collections.abc import Iterable
from typing import Any

from django.utils.text import capfirst
from django.utils.translation import gettext as _

from installs.defect_places import place_label
from jobs.blockers import BlockerCode
from jobs.code_labels import code_label
from jobs.figures import day, figure, hundredths
from jobs.translation import translated
from reports.papers.draft import labelled
from reports.papers.frozen.defects import ConcessionFacts, DefectFacts, EvidenceFacts
from reports.papers.frozen.doorset import FittedDoorset
from reports.papers.frozen.job import InstrumentFacts, RuleFacts
from reports.papers.frozen.papers import KeyFacts
from reports.papers.frozen.survey import FindingFacts
from surveys.arithmetic.findings import Finding


def instrument_name(instrument: InstrumentFacts | None) -> str:
    """`Tape, 8 m (T-0815)`; nothing where no instrument was used."""
    return f"{instrument.name} ({instrument.serial})" if instrument else ""


def instrument_labels(instruments: Iterable[InstrumentFacts]) -> list[dict[str, Any]]:
    """Instruments, each with the label of its accuracy."""
    return [
        labelled(instrument, {"accuracy": accuracy_label(instrument)}) for instrument in instruments
    ]


def accuracy_label(instrument: InstrumentFacts) -> str:
    if instrument.accuracy_class:
        label = _("class {accuracy_class}, Directive 2014/32/EU Annex X")
        return label.format(accuracy_class=instrument.accuracy_class)
    expanded, factor = instrument.expanded_uncertainty, instrument.coverage_factor
    return f"± {hundredths(expanded)} mm (k = {figure(factor)})"


def where_label(record: DefectFacts | ConcessionFacts) -> str:
    """The opening and, where there is one, the step of a defect or a concession."""
    if record.step:
        label = _("opening {opening}, step {step}")
        return label.format(opening=record.opening, step=record.step)
    return _("opening {opening}").format(opening=record.opening)


def concession_labels(concessions: Iterable[ConcessionFacts]) -> list[dict[str, Any]]:
    """Concessions, each with the place that it was granted for."""
    return [
        labelled(concession, {"where": _conceded_at(concession), "what": _conceded(concession)})
        for concession in concessions
    ]


def _conceded(concession: ConcessionFacts) -> str:
    """What was accepted as it is, in words."""
    if concession.code == BlockerCode.MINOR_DEFECT and concession.defect:
        return _("minor defect: {defect}").format(defect=concession.defect)
    if not concession.found:
        return code_label(concession.code)
    return _("{found}; asked was: {asked}").format(
        found=capfirst(concession.found), asked=concession.asked
    )


def _conceded_at(concession: ConcessionFacts) -> str:
    where = where_label(concession)
    return f"{where}, {code_label(concession.place)}" if concession.place else where


def defect_labels(defect: DefectFacts) -> dict[str, Any]:
    """A defect with its history and its state."""
    put_right = _done(defect.put_right_by, defect.put_right_at)
    labels = {
        "where": _with_place(where_label(defect), defect.place),
        "recorded": _joined(
            _done(defect.found_by, defect.found_at),
            _("after the handover") if defect.found_after_handover else "",
        ),
        "put_right": _joined(defect.put_right_how, put_right),
        "reinspected": _joined(
            _done(defect.reinspected_by, defect.reinspected_at),
            defect.reinspection_note,
            _evidence(defect.evidence),
        ),
        "state": _state(defect),
    }
    return labelled(defect, labels)


def _with_place(where: str, place: str) -> str:
    return f"{where}, {translated(place_label(place))}" if place else where


def _state(defect: DefectFacts) -> str:
    if defect.conceded:
        return _("accepted by concession")
    if defect.closed_at:
        return _("✓ closed on evidence") if defect.evidence else _("✓ closed")
    if defect.signed_for and defect.to_come_by:
        text = _("still to come by {day}, accepted by the customer: {promise}")
        return text.format(day=day(defect.to_come_by), promise=defect.to_come_promise)
    return _("put right, not inspected again") if defect.put_right_by else _("open")


def _evidence(evidence: EvidenceFacts | None) -> str:
    """What the office went by, since it was not there."""
    if evidence is None:
        return ""
    photos = _("photo after") if evidence.photo_before is None else _("photos before and after")
    if evidence.read_since is None:
        return _("closed by the office on {photos}").format(photos=photos)
    text = _("closed by the office on {photos}, and the step passed again on {day}")
    return text.format(photos=photos, day=day(evidence.read_since))


def _joined(*parts: str) -> str:
    return "; ".join(part for part in parts if part)


def _done(by: str | None, at: str | None) -> str:
    return f"{by}, {day(at)}" if by else ""


def keys_label(keys: Iterable[KeyFacts]) -> str:
    """`3 for opening 1, 2 for opening 2`, in the order of the openings."""
    in_order = sorted(keys, key=lambda key: (key.opening, key.count))
    label = _("{count} for opening {opening}")
    return ", ".join(label.format(count=key.count, opening=key.opening) for key in in_order)


def rule_label(rule: RuleFacts) -> dict[str, str]:
    """A rule with its limit and where it comes from; rows of a banded limit as `bound → limit`.

    `decided_by` is given where that is not the rule set of the job.
    """
    value = rule.value
    if isinstance(value, list):
        value = "; ".join(_row(row) for row in value)
    elif isinstance(value, int | float):
        value = f"{value:g}"
    source = f"{rule.source} ({rule.standing})" if rule.source else rule.standing
    if rule.decided_by:
        source = _("{source}; by {rule_set}").format(source=source, rule_set=rule.decided_by)
    return {
        "name": code_label(rule.name).replace(".", ": "),
        "limit": f"{value} {rule.unit}",
        "source": source,
    }


def _row(row: Any) -> str:
    return " → ".join(map(_cell, row)) if isinstance(row, list) else str(row)


def _cell(cell: Any) -> str:
    """A number, or the code of what a row holds for."""
    return code_label(cell) if isinstance(cell, str) else f"{cell:g}"


def each_once(sentences: Iterable[str]) -> list[str]:
    """Sentences in their order, none twice."""
    return list(dict.fromkeys(sentences))


def findings(doorsets: Iterable[FittedDoorset]) -> list[dict[str, str]]:
    """What the surveys recorded about the place, each once, with its opening."""
    by_opening = {
        (doorset.opening.number, finding.what): finding
        for doorset in doorsets
        for survey in doorset.surveys
        for finding in survey.findings
    }
    return [
        finding_label(finding) | {"where": _("Opening {number}").format(number=number)}
        for (number, _what), finding in by_opening.items()
    ]


def finding_label(finding: Finding | FindingFacts) -> dict[str, str]:
    """`what` and `caution` in the reader's language, and the source."""
    return {
        "what": translated(finding.what),
        "caution": translated(finding.caution),
        "source": finding.source,
    }
