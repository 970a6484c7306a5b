"""Drawings of a frozen fitting plan, as SVG. Pure: data in, text out.

Lines and words are `currentColor`; what a sign means is never shown by colour alone.
"""

from installs.drawings.chains import DrawnChain, chain_svg
from installs.drawings.gaps import GapRounds, gaps_svg
from installs.drawings.glazing import GlazedDoorset, glazing_svg, sash_svg
from installs.drawings.members import DrawnMember, member_svg

__all__ = [
    "DrawnChain",
    "DrawnMember",
    "GapRounds",
    "GlazedDoorset",
    "chain_svg",
    "gaps_svg",
    "glazing_svg",
    "member_svg",
    "sash_svg",
]
