"""The screws of a fitting in words, for the crew that takes them along and drives them in."""

from collections.abc import Iterable

from django.utils.translation import gettext as _

from installs.arithmetic.kit import MemberScrews
from installs.frozen import FittingPlan
from installs.member_labels import MEMBER_TITLES
from installs.models import PlanStep
from jobs.code_labels import code_label
from jobs.figures import figure, number
from jobs.translation import translated

# The members that a step fixes, by what of it is entered on the map.
FIXED_AT = {
    "jamb_fixings": ("left", "right"),
    "head_fixings": ("head",),
    "sill_fixings": ("sill",),
}


def screws_label(screws: MemberScrews) -> str:
    """For a member: which length, and what it is made up of."""
    values = {
        "member": translated(MEMBER_TITLES[screws.member]),
        "least": number(screws.least, ".0f"),
        "depth": figure(screws.embedment),
        "wall": code_label(screws.substrate),
        "edge": figure(screws.edge_distance),
    }
    if screws.length is None:
        text = _(
            "{member}: ! no screw on the list is as long as {least} mm ({depth} mm into {wall}, "
            "{edge} mm from its edge)"
        )
    elif screws.joint_measured:
        text = _(
            "{member}: screws of {length} mm ({least} mm wanted: frame, packers and {depth} mm "
            "into {wall}; {edge} mm from its edge)"
        )
    else:
        text = _(
            "{member}: screws of {length} mm and more by the packers, since the joint was not "
            "measured ({depth} mm into {wall}; {edge} mm from its edge)"
        )
    return text.format(**values, length=figure(screws.length or 0))


def screw_label(screws: MemberScrews) -> str:
    """For one fixing."""
    values = {"least": number(screws.least, ".0f"), "length": figure(screws.length or 0)}
    if screws.length is None:
        text = _("! No screw on the list is as long as {least} mm: ask before you drill.")
    elif screws.joint_measured:
        text = _("Screw: {length} mm ({least} mm wanted).")
    else:
        text = _("Screw: {length} mm, longer by the packers.")
    return text.format(**values)


def screws_for(step: PlanStep, plan: FittingPlan) -> Iterable[str]:
    """The screws of a step that fixes members, one line for each length; none where the kit was not
    counted or nothing is fixed."""
    members = FIXED_AT.get(step.on_the_map, ())
    screws = plan.kit.screws if plan.kit else ()
    return [
        _("{count} x {screws}").format(count=one.count, screws=screws_label(one))
        for one in screws
        if one.member in members
    ]
