"""What the figures of an opening's shape mean, for papers and pages."""

from django.utils.translation import gettext, gettext_noop

from jobs.figures import figure

RISES, FALLS = gettext_noop("rises {amount} mm"), gettext_noop("falls {amount} mm")
LEANS_RIGHT = gettext_noop("leans right {amount} mm")
LEANS_LEFT = gettext_noop("leans left {amount} mm")
BOWED_RIGHT = gettext_noop("bowed right {amount} mm")
BOWED_LEFT = gettext_noop("bowed left {amount} mm")
HIGH, LOW = gettext_noop("high {amount} mm"), gettext_noop("low {amount} mm")

# Name, and what a positive and a negative figure mean; bows are of a side's middle.
SHAPE_LABELS = {
    "sill_fall": (gettext_noop("Sill, left to right"), RISES, FALLS),
    "head_fall": (gettext_noop("Head, left to right"), RISES, FALLS),
    "left_lean": (gettext_noop("Left jamb, foot to head"), LEANS_RIGHT, LEANS_LEFT),
    "right_lean": (gettext_noop("Right jamb, foot to head"), LEANS_RIGHT, LEANS_LEFT),
    "left_bow": (gettext_noop("Left jamb, middle"), BOWED_RIGHT, BOWED_LEFT),
    "right_bow": (gettext_noop("Right jamb, middle"), BOWED_RIGHT, BOWED_LEFT),
    "sill_bow": (gettext_noop("Sill, middle"), HIGH, LOW),
    "head_bow": (gettext_noop("Head, middle"), HIGH, LOW),
}


def shape_label(name: str, value: float) -> tuple[str, str]:
    """`Sill, left to right`, `falls 3 mm`; what rounds to nothing is true. `value` in mm."""
    title, positive, negative = SHAPE_LABELS[name]
    amount = figure(abs(value))
    if amount == "0":
        return gettext(title), gettext("true")
    return gettext(title), gettext(positive if value > 0 else negative).format(amount=amount)
