"""What the figures of an opening's shape mean, for papers and pages. Pure."""

# Name, and what a positive and a negative figure mean; bows are of a side's middle.
SHAPE_WORDS = {
    "sill_fall": ("Sill, left to right", "rises", "falls"),
    "head_fall": ("Head, left to right", "rises", "falls"),
    "left_lean": ("Left jamb, foot to head", "leans right", "leans left"),
    "right_lean": ("Right jamb, foot to head", "leans right", "leans left"),
    "left_bow": ("Left jamb, middle", "bowed right", "bowed left"),
    "right_bow": ("Right jamb, middle", "bowed right", "bowed left"),
    "sill_bow": ("Sill, middle", "high", "low"),
    "head_bow": ("Head, middle", "high", "low"),
}
