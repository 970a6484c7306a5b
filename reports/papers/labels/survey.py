"""Labels of the record of a survey: what a paper says besides the bare figures."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from jobs.code_labels import code_label
from jobs.figures import day, figure, hundredths, percent
from jobs.translation import translated
from reports.papers.draft import labelled
from reports.papers.frozen.survey import (
    AssessedOpening,
    FitFacts,
    SheetSurvey,
    SurveyFacts,
    SurveyReading,
)
from reports.papers.labels.conditions import condition_rows
from reports.papers.labels.doorset import Pairs, size_label
from reports.papers.labels.job import finding_label, instrument_name
from surveys.arithmetic.answers import ReadNext, Shape, Suspect, Uncertain, WideJoint
from surveys.arithmetic.placement import JointRange
from surveys.next_readings import act_label
from surveys.shape_words import SHAPE_LABELS, shape_label
from surveys.wall_words import SIDES, method_label, wall_labels


def survey_labels(survey: SurveyFacts) -> dict[str, Any]:
    """When and with what it was measured, and whether the set agrees with itself."""
    labels = {
        "heading": _(HEADINGS[survey.stage]),
        "agreement": _agreement(survey),
        "with": ", ".join(instrument_name(i) for i in survey.instruments),
        "joints": joints_text(survey.fit.joints) if survey.fit else "",
        "decided_by": _decided_by(survey.fit) if survey.fit else "",
        "readings": [labelled(r, {"name": reading_name(r.reading)}) for r in survey.readings],
    }
    return labelled(survey, labels)


HIGHER_ENDS = {
    "left": gettext_noop("its left end looks higher"),
    "right": gettext_noop("its right end looks higher"),
    "level": gettext_noop("looks level"),
}
HEADINGS = {
    "first": gettext_noop("Measured before ordering"),
    "before_removal": gettext_noop("Measured before the old door came out"),
    "after_removal": gettext_noop("Measured with the old door out"),
}
OCCASIONS = {
    "first": gettext_noop("measured before ordering"),
    "before_removal": gettext_noop("measured before the old door came out"),
    "after_removal": gettext_noop("measured with the old door out"),
}
STAGES = {
    "first": gettext_noop("before ordering"),
    "before_removal": gettext_noop("before the old door came out"),
    "after_removal": gettext_noop("with the old door out"),
}


def _agreement(survey: SurveyFacts) -> str:
    text = _(
        "The readings contradict each other (chi-square {chi_square} at {degrees} degrees of "
        "freedom, p {p_value})."
    )
    if survey.consistent:
        text = _(
            "The readings agree with each other (chi-square {chi_square} at {degrees} degrees of "
            "freedom, p {p_value})."
        )
    adjustment = survey.adjustment
    return text.format(
        chi_square=hundredths(adjustment.chi_square),
        degrees=adjustment.degrees_of_freedom,
        p_value=hundredths(adjustment.p_value),
    )


def _decided_by(fit: FitFacts) -> str:
    """What the walls were taken for, and by which method; empty in papers that do not say."""
    if not fit.method:
        return ""
    walls = "; ".join(f"{side}: {kinds}" for side, kinds in wall_labels(fit.walls or {}))
    text = _("Walls: {walls}. {method}") if walls else "{method}"
    return text.format(walls=walls, method=method_label(fit.method))


def joints_text(joints: Mapping[str, JointRange]) -> str:
    """The least and the greatest width of each joint; mm."""
    text = _(
        "Joints: left {left_min} to {left_max} mm, right {right_min} to {right_max} mm, "
        "head {head_min} to {head_max} mm, sill {sill_min} to {sill_max} mm."
    )
    least = {f"{side}_min": figure(joint.min) for side, joint in joints.items()}
    greatest = {f"{side}_max": figure(joint.max) for side, joint in joints.items()}
    return text.format(**least, **greatest)


READING_NAMES = {
    "widths": gettext_noop("width"),
    "heights": gettext_noop("height"),
    "sill_levels": gettext_noop("sill level"),
    "head_levels": gettext_noop("head level"),
    "plumb.left": gettext_noop("plumb, left jamb"),
    "plumb.right": gettext_noop("plumb, right jamb"),
    "straightedge.left": gettext_noop("straightedge, left jamb"),
    "straightedge.right": gettext_noop("straightedge, right jamb"),
    "straightedge.head": gettext_noop("straightedge, head"),
    "straightedge.sill": gettext_noop("straightedge, sill"),
    "splay.left": gettext_noop("square, left reveal"),
    "splay.right": gettext_noop("square, right reveal"),
    "splay.head": gettext_noop("square, head"),
    "splay.sill": gettext_noop("square, sill"),
    "checks.widths": gettext_noop("width, second instrument"),
    "checks.heights": gettext_noop("height, second instrument"),
    "checks.known_lengths": gettext_noop("rule of known length"),
    "diagonals.rising": gettext_noop("rising diagonal"),
    "diagonals.falling": gettext_noop("falling diagonal"),
}


def reading_name(name: str) -> str:
    """`widths.0` as `width`; the place has a column of its own."""
    label = READING_NAMES.get(name) or READING_NAMES.get(name.rpartition(".")[0])
    return _(label) if label else name


def sheet_labels(survey: SheetSurvey) -> dict[str, Any]:
    """What only a survey sheet says: acceptance, shape, suspects, findings and conditions."""
    return survey_labels(survey) | {
        "occasion": _(OCCASIONS[survey.stage]),
        "stage_label": _(STAGES[survey.stage]),
        "acceptance": _acceptance(survey),
        "clear": _clear(survey.assessment),
        "shape": shape_rows(survey.assessment.shape),
        "suspects": [_suspect(suspect, survey.readings) for suspect in survey.suspects],
        "findings": [finding_label(finding) for finding in survey.findings],
        "conditions": condition_rows(survey.conditions),
        "walls": list(wall_labels(survey.walls)),
        "seen": list(_seen(survey)),
        "acts": [_act_label(reading) for reading in survey.read_next],
        "method_label": method_label(survey.method),
        "choices": [_choices(joint) for joint in survey.wide_joints],
    }


def _act_label(reading: ReadNext) -> str:
    return _("{act} ({probability})").format(
        act=act_label(reading), probability=percent(reading.probability_settles)
    )


def _choices(joint: WideJoint) -> dict[str, Any]:
    title = _("{member}: {least} to {greatest} mm, at most {allowed} mm may be sealed").format(
        member=_(SIDES[joint.member]),
        least=figure(joint.min),
        greatest=figure(joint.max),
        allowed=figure(joint.allowed),
    )
    return {"title": title, "choices": [translated(choice.what) for choice in joint.choices]}


def _seen(survey: SheetSurvey) -> Iterator[tuple[str, str]]:
    """What was said of the walls besides numbers."""
    for side, title in SIDES.items():
        parts = []
        if surface := survey.surfaces.get(side):
            parts.append(code_label(surface))
        if end := survey.higher_end.get(side):
            parts.append(_(HIGHER_ENDS[end]))
        if parts:
            yield _(title), ", ".join(parts)


def _acceptance(survey: SheetSurvey) -> str:
    if survey.stage != "first":
        return _("Counts as it was taken.")
    if survey.accepted_at:
        return _("✓ Accepted on {day}: a doorset may be ordered by it.").format(
            day=day(survey.accepted_at)
        )
    return _("Not accepted: nothing may be ordered by it.")


def _clear(assessment: AssessedOpening) -> Pairs:
    return [
        (_("Clear width"), _uncertain(assessment.clear_width)),
        (_("Clear height"), _uncertain(assessment.clear_height)),
        (_("Largest frame"), size_label(assessment.largest_frame)),
    ]


def _uncertain(size: Uncertain) -> str:
    return f"{figure(size.value)} mm (u {hundredths(size.standard_uncertainty)} mm)"


def shape_rows(shape: Shape) -> Pairs:
    """`Sill, left to right`, `falls 3 mm`; what rounds to nothing is true."""
    return [shape_label(name, getattr(shape, name)) for name in SHAPE_LABELS]


def _suspect(suspect: Suspect, readings: Iterable[SurveyReading]) -> dict[str, str]:
    reading = next(r for r in readings if r.reading == suspect.reading)
    name = reading_name(suspect.reading)
    if reading.at is not None:
        name = _("{reading} at {position} mm").format(reading=name, position=figure(reading.at))
    return {
        "name": name,
        "read": f"{figure(reading.value)} mm",
        "likely": f"{figure(suspect.likely_value)} mm",
    }
