"""What a phone is answered when something was recorded that is judged."""

from dataclasses import dataclass

from django.utils.text import capfirst

from installs.models import Inspection, JunctionGap
from jobs.translation import translated


@dataclass(frozen=True, slots=True)
class Verdict:
    """`decision`: pass, fail or inconclusive. `act`: what to do next, or what failed it, in words;
    empty where that is nothing, or not known by this record alone."""

    decision: str
    act: str = ""


def verdict_of_inspection(inspection: Inspection) -> Verdict:
    if inspection.outcome == Inspection.Outcome.PASS:
        return Verdict(inspection.outcome)
    if inspection.next_act is None:
        short = (
            capfirst(translated(why)) for whys in inspection.shortfalls.values() for why in whys
        )
        return Verdict(inspection.outcome, ". ".join(short))
    acts = (act for act in inspection.next_act.members if act.act.kind != "leave")
    in_words = (capfirst(translated(act.in_words)) for act in acts)
    return Verdict(inspection.outcome, ". ".join(in_words))


def verdict_of_gap(gap: JunctionGap) -> Verdict:
    return Verdict(gap.decision)
