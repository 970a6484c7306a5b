"""Which closing gap to set today, so that a chain neither binds in the heat nor gapes in the frost.

A chain of leaves grows by `alpha L dT` along the track (thermal expansion of a bar that is free to
move) and closes the gap at its closing edge by as much; the frame is held by the wall. Sashes with
steel inside, or in a frame that warms with them, move less: the growth is an upper bound.
Lengths in mm, temperatures in degrees Celsius.
"""

from dataclasses import dataclass

from jobs.sentences import Sentence, sentence


@dataclass(frozen=True, slots=True)
class SeasonRules:
    """`expansion` in 1/K; the coldest and the hottest that leaves become; `least_gap` at which a
    chain still moves freely, `seal_reach` by how much wider than the leaf gap its seals still
    touch."""

    expansion: float
    coldest: float
    hottest: float
    least_gap: float
    seal_reach: float
    asked_from: float
    source: str


@dataclass(frozen=True, slots=True)
class SeasonAnswer:
    """`growth` from the coldest to the hottest; the gap to set at `temperature`, between which
    gaps it may lie, and what becomes of it."""

    temperature: float
    growth: float
    gap_today: float
    least_today: float
    greatest_today: float
    gap_at_hottest: float
    gap_at_coldest: float
    holds: bool
    act: Sentence
    sources: tuple[str, ...]


def grows(chain_length: float, rules: SeasonRules) -> float:
    """By how much a chain is longer when it is hottest than when it is coldest."""
    return rules.expansion * chain_length * (rules.hottest - rules.coldest)


def closing_gap(
    chain_length: float, leaf_gap: float, temperature: float, rules: SeasonRules
) -> SeasonAnswer:
    """The leaf gap at the middle of both extremes, moved to today's temperature, and kept to what
    binds and what seals. Where no gap does both, it misses both by as much. A day beyond the
    extremes of the rules is the extreme itself.
    """
    per_kelvin = rules.expansion * chain_length
    to_come = per_kelvin * max(0.0, rules.hottest - temperature)
    been = per_kelvin * max(0.0, temperature - rules.coldest)
    least, greatest = rules.least_gap + to_come, leaf_gap + rules.seal_reach - been
    holds = least <= greatest
    wanted = leaf_gap + (to_come - been) / 2
    gap = min(max(wanted, least), greatest) if holds else (least + greatest) / 2
    return SeasonAnswer(
        temperature=temperature,
        growth=to_come + been,
        gap_today=gap,
        least_today=least,
        greatest_today=greatest,
        gap_at_hottest=gap - to_come,
        gap_at_coldest=gap + been,
        holds=holds,
        act=_act(gap, temperature, gap - to_come, gap + been, holds=holds),
        sources=(rules.source, sentence("growth of a free bar, alpha L dT: closed form")),
    )


def _act(gap: float, temperature: float, hot: float, cold: float, *, holds: bool) -> Sentence:
    if holds:
        return sentence(
            "At {temperature:g} C set the closing gap to {gap:.1f} mm: it becomes {hot:.1f} mm in "
            "the heat and {cold:.1f} mm in the frost.",
            temperature=temperature,
            gap=gap,
            hot=hot,
            cold=cold,
        )
    return sentence(
        "No closing gap holds all year: at {temperature:g} C {gap:.1f} mm becomes {hot:.1f} mm in "
        "the heat and {cold:.1f} mm in the frost. Ask the maker what the seals take.",
        temperature=temperature,
        gap=gap,
        hot=hot,
        cold=cold,
    )
