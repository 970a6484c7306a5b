"""The chart of gaps before and after the running gear was set: one scale, true to the readings."""

import re
from types import SimpleNamespace
from xml.etree import ElementTree

from installs.drawings import GapRounds, gaps_svg

SVG = "{http://www.w3.org/2000/svg}"


def gap(junction: int, head: float, sill: float, decision: str = "pass") -> SimpleNamespace:
    return SimpleNamespace(
        junction=junction, head_gap=head, sill_gap=sill, decision=decision, limit=1.0
    )


READ_TWICE = [gap(1, 3.0, 6.0, "fail"), gap(2, 5.0, 5.2), gap(1, 4.4, 4.6)]


def tips(svg: str) -> list[float]:
    """The height of the tip of every triangle, as drawn."""
    paths = (path.attrib["d"] for path in ElementTree.fromstring(svg).iter(f"{SVG}path"))
    return [float(re.match(r"M\S+ (\S+)", path)[1]) for path in paths]


def test_the_first_reading_and_the_one_that_counts_are_told_apart():
    rounds = GapRounds.read(READ_TWICE)
    assert [(pair.head, pair.sill) for pair in rounds.first] == [(3.0, 6.0), (5.0, 5.2)]
    assert [(pair.head, pair.sill) for pair in rounds.last] == [(4.4, 4.6), (5.0, 5.2)]


def test_gaps_are_drawn_true_to_one_scale_in_both_rounds():
    head, sill, *_ = first = tips(gaps_svg(GapRounds.read(READ_TWICE)))
    a_millimetre = (head - sill) / 3
    assert a_millimetre > 0  # a larger gap is drawn higher up
    drawn_gaps = [6.0 - (height - sill) / a_millimetre for height in first]
    # 3, 6 and 5, 5.2 at first; 4.4, 4.6 and 5, 5.2 as left. Coordinates are written to a tenth.
    for drawn, read in zip(drawn_gaps, [3, 6, 5, 5.2, 4.4, 4.6, 5, 5.2], strict=True):
        assert abs(drawn - read) <= 0.1 / a_millimetre + 1e-9


def test_the_verdict_stands_beside_the_difference_as_a_sign():
    words = [
        text.text
        for text in ElementTree.fromstring(gaps_svg(GapRounds.read(READ_TWICE))).iter(f"{SVG}text")
    ]
    assert "✗ 3" in words
    assert words.count("✓ 0.2") == 3


def test_whoever_cannot_see_the_drawing_is_told_what_it_shows():
    assert GapRounds.read(READ_TWICE).description == (
        "Gaps at 2 junctions. Greatest difference of head and sill: 3 mm as first read, "
        "0.2 mm as left; at most 1 mm is allowed."
    )


def test_without_a_reading_there_is_no_drawing():
    assert GapRounds.read([]) is None
