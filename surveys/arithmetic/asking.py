"""What to read next: whatever is in doubt, and what an order should not go without."""

from collections.abc import Iterator
from typing import Literal

from jobs.sentences import StoredSentence, sentence
from surveys.arithmetic.agreement import Agreement
from surveys.arithmetic.answers import ReadingKind, ReadNext, Suspect, Verdict
from surveys.arithmetic.clear_size import ClearSizes
from surveys.arithmetic.higher_end import not_excluded
from surveys.arithmetic.next_reading import readings_to_take
from surveys.arithmetic.readings import Checks, Measurement, Opening, PlacedReading, Side
from surveys.arithmetic.walled_opening import WalledOpening

READ_AGAIN = sentence("It contradicts the other readings; read it again.")
SECOND_INSTRUMENT = sentence(
    "Every size was read with one instrument; read one again with a second, or a rule of known "
    "length with this one, before a frame so wide is ordered: a bent hook shows in no other way."
)
HIGHER_END = StoredSentence(
    "The other readings do not say which way this side falls; see which end is higher: {side}."
)
SUSPECT_KINDS: dict[str, tuple[ReadingKind, Side | None]] = {
    "widths": ("width", None),
    "heights": ("height", None),
    "diagonals": ("diagonals", None),
    "sill_levels": ("level", "sill"),
    "head_levels": ("level", "head"),
    "plumb.left": ("plumb", "left"),
    "plumb.right": ("plumb", "right"),
    "checks": ("check", None),
}


def read_next(
    measurement: Measurement,
    opening: WalledOpening,
    agreed: Agreement,
    verdict: Verdict,
    doubt: tuple[ClearSizes, tuple[float, float], float],
) -> tuple[ReadNext, ...]:
    """The best first. `doubt`: clear sizes, those needed, mm, and the confidence asked for."""
    if agreed.contradictory:
        return tuple(_again(measurement.opening, agreed))
    if verdict == "inconclusive":
        return readings_to_take(opening, *doubt)
    if verdict == "fits":
        return tuple(_before_an_order(measurement, opening))
    return ()


def _again(opening: Opening, agreed: Agreement) -> Iterator[ReadNext]:
    """Each suspect, with how probably it is the one."""
    for suspect, probability in zip(agreed.suspects, agreed.blame, strict=True):
        name = next(name for name in SUSPECT_KINDS if suspect.reading.startswith(name))
        kind, side = SUSPECT_KINDS[name]
        at = _place(opening, suspect) if kind in ("width", "height") else None
        yield ReadNext(kind, side, at, READ_AGAIN, round(probability, 3))


def _place(opening: Opening, suspect: Suspect) -> float:
    name, index = suspect.reading.split(".")
    readings: tuple[PlacedReading, ...] = getattr(opening, name)
    return readings[int(index)].at


def _before_an_order(measurement: Measurement, opening: WalledOpening) -> Iterator[ReadNext]:
    """What the readings cannot show by themselves, so that no reading is expected to settle it."""
    taken = measurement.opening
    wide = opening.width >= measurement.priors.second_instrument_from
    if wide and taken.checks == Checks():
        yield ReadNext("check", None, None, SECOND_INSTRUMENT, 0.0)
    sides: tuple[Literal["sill", "head"], ...] = ("sill", "head")
    for side in sides:
        if getattr(taken.higher_end, side) is None and not_excluded(opening, side):
            yield ReadNext("higher_end", side, None, HIGHER_END(side=side), 0.0)
