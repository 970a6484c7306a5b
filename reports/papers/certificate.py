"""The completion certificate: what its record says, as labels and drawings."""

from typing import Any

import msgspec

from installs.drawings.gaps import GapRounds, gaps_svg
from jobs.drawings import Elevation, elevation_svg
from jobs.translation import translated
from reports.papers.draft import Draft
from reports.papers.drawn import signature_svg
from reports.papers.frozen.survey import DrawnFit
from reports.papers.labels import doorset as doorset_labels
from reports.papers.labels import job as job_labels
from reports.papers.labels import survey as survey_labels
from reports.papers.parts import SCHEME, SVG, Part
from surveys.drawings import FittedOpening, opening_svg


def certificate(facts: dict[str, Any]) -> Draft:
    """From the record of `certificate_record`."""
    context = {
        "doorsets": [_doorset(doorset, facts) for doorset in facts["doorsets"]],
        "keys": job_labels.keys_label(facts["handover"]["keys"]),
        "defects": [d | job_labels.defect_labels(d) for d in facts["defects"]],
        "concessions": job_labels.concession_labels(facts["concessions"]),
        "instruments": job_labels.instrument_labels(facts["instruments"]),
        "findings": job_labels.findings(facts["doorsets"]),
        "rules": [job_labels.rule_label(rule) for rule in facts["rule_set"]["rules"]],
    }
    return Draft("reports/certificate.html", context, _parts(facts))


def _doorset(doorset: dict[str, Any], facts: dict[str, Any]) -> dict[str, Any]:
    """The record of a doorset with the labels of everything that its pages say of it."""
    return doorset | {
        "order_rows": doorset_labels.order_rows(doorset),
        "glass_rows": doorset_labels.glass_rows(doorset),
        "summary": doorset_labels.summary(doorset, facts["concessions"]),
        "fixings": [doorset_labels.fixing_labels(member) for member in doorset["fixings"]],
        "lifts_text": doorset_labels.lifts_text(doorset["lifts"]),
        "leaves": doorset_labels.leaf_labels(doorset),
        "surveys": [s | survey_labels.survey_labels(s) for s in doorset["surveys"]],
        "inspections": [
            i
            | {
                "title": translated(i["title"]),
                "remarks": doorset_labels.inspection_remarks(i),
                "readings": [r | doorset_labels.reading_sources(r) for r in i["readings"]],
                "instrument": job_labels.instrument_name(i["instrument"]),
            }
            for i in doorset["inspections"]
        ],
        "gaps": [
            g | {"instrument": job_labels.instrument_name(g["instrument"])} for g in doorset["gaps"]
        ],
        "drawing": {
            "address": f"{SCHEME}elevation-{doorset['opening']['number']}",
            "alt": translated(Elevation.read(doorset["elevation"]).in_words),
        },
        "joint_drawing": {
            "address": f"{SCHEME}joint-{doorset['opening']['number']}",
            "alt": translated(_newest_fit(doorset).in_words),
        },
        "gaps_drawing": _gaps_drawing(doorset),
    }


def _parts(facts: dict[str, Any]) -> dict[str, Part]:
    """Everything the paper shows that is not text, by the name in its `sw:` address."""
    parts = {"signature": Part(SVG, signature_svg(facts["handover"]["signature"]).encode())}
    for doorset in facts["doorsets"]:
        number = doorset["opening"]["number"]
        drawing = elevation_svg(Elevation.read(doorset["elevation"]))
        parts[f"elevation-{number}"] = Part(SVG, drawing.encode())
        parts[f"joint-{number}"] = Part(SVG, opening_svg(_newest_fit(doorset)).encode())
        if rounds := GapRounds.read(doorset["gaps"]):
            parts[f"gaps-{number}"] = Part(SVG, gaps_svg(rounds).encode())
    return parts


def _gaps_drawing(doorset: dict[str, Any]) -> dict[str, str] | None:
    rounds = GapRounds.read(doorset["gaps"])
    if rounds is None:
        return None
    return {
        "address": f"{SCHEME}gaps-{doorset['opening']['number']}",
        "alt": translated(rounds.in_words),
    }


def _newest_fit(doorset: dict[str, Any]) -> FittedOpening:
    """The frame in the opening by the survey that was taken last."""
    fit = msgspec.convert(doorset["surveys"][-1]["standing"], DrawnFit)
    return FittedOpening.read(fit.inputs, fit.answer)
