"""The completion certificate: what its record says, as labels and drawings."""

from typing import Any, cast

from installs.drawings.gaps import GapRounds, gaps_svg
from jobs.drawings import elevation_svg
from jobs.translation import translated
from reports.papers.draft import Draft, labelled
from reports.papers.drawn import signature_svg
from reports.papers.frozen.doorset import FittedDoorset
from reports.papers.frozen.fitting import InspectionFacts
from reports.papers.frozen.papers import CertificateRecord
from reports.papers.frozen.survey import DrawnFit
from reports.papers.labels import doorset as doorset_labels
from reports.papers.labels import job as job_labels
from reports.papers.labels import survey as survey_labels
from reports.papers.labels.setting_true import setting_true
from reports.papers.parts import SCHEME, SVG, Part
from surveys.drawings import FittedOpening, opening_svg


def certificate(facts: CertificateRecord) -> Draft:
    """From the record of `certificate_record`."""
    context = {
        "doorsets": [_doorset(doorset, facts) for doorset in facts.doorsets],
        "keys": job_labels.keys_label(facts.handover.keys),
        "defects": [job_labels.defect_labels(defect) for defect in facts.defects],
        "concessions": job_labels.concession_labels(facts.concessions),
        "instruments": job_labels.instrument_labels(facts.instruments),
        "findings": job_labels.findings(facts.doorsets),
        "rules": [job_labels.rule_label(rule) for rule in facts.rule_set.rules],
    }
    return Draft("reports/certificate.html", context, _parts(facts))


def _doorset(doorset: FittedDoorset, facts: CertificateRecord) -> dict[str, Any]:
    """The record of a doorset with the labels of everything that its pages say of it."""
    number = doorset.opening.number
    labels = {
        "order_rows": doorset_labels.order_rows(doorset),
        "glass_rows": doorset_labels.glass_rows(doorset),
        "summary": doorset_labels.summary(doorset, facts.concessions),
        "fixings": [doorset_labels.fixing_labels(member) for member in doorset.fixings],
        "setting_true": setting_true(doorset),
        "lifts_text": doorset_labels.lifts_text(doorset.lifts),
        "leaves": doorset_labels.leaf_labels(doorset),
        "surveys": [survey_labels.survey_labels(survey) for survey in doorset.surveys],
        "inspections": [_inspection(inspection) for inspection in doorset.inspections],
        "gaps": [
            labelled(gap, {"instrument": job_labels.instrument_name(gap.instrument)})
            for gap in doorset.gaps
        ],
        "drawing": {
            "address": f"{SCHEME}elevation-{number}",
            "alt": translated(doorset.elevation.description),
        },
        "joint_drawing": {
            "address": f"{SCHEME}joint-{number}",
            "alt": translated(_newest_fit(doorset).description),
        },
        "gaps_drawing": _gaps_drawing(doorset),
    }
    return labelled(doorset, labels)


def _inspection(inspection: InspectionFacts) -> dict[str, Any]:
    labels = {
        "title": translated(inspection.title),
        "remarks": doorset_labels.inspection_remarks(inspection),
        "readings": [labelled(r, doorset_labels.reading_sources(r)) for r in inspection.readings],
        "instrument": job_labels.instrument_name(inspection.instrument),
    }
    return labelled(inspection, labels)


def _parts(facts: CertificateRecord) -> dict[str, Part]:
    """Everything the paper shows that is not text, by the name in its `sw:` address."""
    parts: dict[str, Part] = {}
    if signature := facts.handover.signature:
        parts["signature"] = Part(SVG, signature_svg(signature).encode())
    for doorset in facts.doorsets:
        number = doorset.opening.number
        drawing = elevation_svg(doorset.elevation)
        parts[f"elevation-{number}"] = Part(SVG, drawing.encode())
        parts[f"joint-{number}"] = Part(SVG, opening_svg(_newest_fit(doorset)).encode())
        if rounds := GapRounds.read(doorset.gaps):
            parts[f"gaps-{number}"] = Part(SVG, gaps_svg(rounds).encode())
    return parts


def _gaps_drawing(doorset: FittedDoorset) -> dict[str, str] | None:
    rounds = GapRounds.read(doorset.gaps)
    if rounds is None:
        return None
    return {
        "address": f"{SCHEME}gaps-{doorset.opening.number}",
        "alt": translated(rounds.description),
    }


def _newest_fit(doorset: FittedDoorset) -> FittedOpening:
    """The frame in the opening by the survey that was taken last."""
    # A survey without a decision is not on a certificate: see `survey_records`.
    fit = cast(DrawnFit, doorset.surveys[-1].standing)
    return FittedOpening.read(fit.inputs, fit.answer)
