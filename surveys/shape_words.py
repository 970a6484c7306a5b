"""What the figures of an opening's shape mean, for papers and pages."""

from django.utils.translation import gettext_lazy as _

# Name, and what a positive and a negative figure mean; bows are of a side's middle.
SHAPE_WORDS = {
    "sill_fall": (_("Sill, left to right"), _("rises"), _("falls")),
    "head_fall": (_("Head, left to right"), _("rises"), _("falls")),
    "left_lean": (_("Left jamb, foot to head"), _("leans right"), _("leans left")),
    "right_lean": (_("Right jamb, foot to head"), _("leans right"), _("leans left")),
    "left_bow": (_("Left jamb, middle"), _("bowed right"), _("bowed left")),
    "right_bow": (_("Right jamb, middle"), _("bowed right"), _("bowed left")),
    "sill_bow": (_("Sill, middle"), _("high"), _("low")),
    "head_bow": (_("Head, middle"), _("high"), _("low")),
}
