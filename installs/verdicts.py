"""What a phone is answered when something was recorded that is judged."""

from collections.abc import Iterator
from typing import Any

from django.utils.text import capfirst

from installs.gap_rounds import gaps_of_this_round
from installs.models import Inspection, JunctionGap
from installs.running_gear_advice import running_gear_advice
from installs.state import InstallationState
from jobs.operations import Verdict
from jobs.translation import translated


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
    """What to do is known once all of its chain is read in this round."""
    if gap.decision == Inspection.Outcome.PASS:
        return Verdict(gap.decision)
    acts = (capfirst(translated(advice["act"])) for advice in _advice_on(gap))
    return Verdict(gap.decision, " ".join(acts))


def _advice_on(gap: JunctionGap) -> Iterator[dict[str, Any]]:
    """For each chain that reaches its junction."""
    fitting = gap.installation
    read = gaps_of_this_round(InstallationState(fitting)).keys()
    complete = {
        chain.jamb
        for chain in fitting.plan.running_gear.chains
        if gap.junction in (numbers := {place.junction for place in chain.places})
        and numbers <= read
    }
    for chain in running_gear_advice(fitting) if complete else ():
        if chain.jamb in complete and chain.advice:
            yield chain.advice
