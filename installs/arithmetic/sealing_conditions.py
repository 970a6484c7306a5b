"""Whether a joint may be sealed: how warm its faces are, how near the dew point of the air, and how
old the sealant is. Temperatures in C, humidity in percent. Pure.

The dew point follows from the saturation pressure over water by the Magnus formula with the
coefficients of D. Sonntag (1990, Important new values of the physical constants of 1986,
Zeitschrift fuer Meteorologie 70, 340 to 344), as the World Meteorological Organization gives it
(WMO-No. 8): e = 6.112 hPa x exp(17.62 t / (243.12 + t)), good from -45 to 60 C.
"""

from dataclasses import dataclass
from datetime import date
from math import log

from jobs.sentences import Sentence, StoredSentence

SLOPE, OFFSET = 17.62, 243.12
OUT_OF_RANGE = StoredSentence(
    "sealed at {surface:g} C on its faces, {lowest:g} to {highest:g} C is allowed ({source})"
)
TOO_NEAR_DEW_POINT = StoredSentence(
    "sealed at {surface:g} C on its faces, {above:.1f} C above the dew point of {dew_point:.1f} C; "
    "{margin:g} C at least is wanted, or water lies between sealant and face ({source})"
)
TOO_OLD = StoredSentence("sealed on {day} with a sealant that was to be used by {use_by}")


@dataclass(frozen=True, slots=True)
class SealingRules:
    """Between which temperatures of its faces a joint is sealed, and how far above the dew point
    they are at least; each with its source."""

    lowest: float
    highest: float
    temperature_source: str
    above_dew_point: float
    dew_point_source: str


@dataclass(frozen=True, slots=True)
class SealingConditions:
    """What was read on `day`, None where it was not: of the faces, and of the air beside them;
    `use_by` as it is printed on the cartridge."""

    day: date
    surface: float | None = None
    air: float | None = None
    humidity: float | None = None
    use_by: date | None = None


def dew_point(air: float, humidity: float) -> float:
    """Of air at a temperature and a relative humidity over 0 and up to 100 %."""
    reached = log(humidity / 100) + SLOPE * air / (OFFSET + air)
    return OFFSET * reached / (SLOPE - reached)


def sealing_shortfalls(conditions: SealingConditions, rules: SealingRules) -> tuple[Sentence, ...]:
    """Why the joint was not to be sealed like this; what was not read is not judged."""
    surface, use_by = conditions.surface, conditions.use_by
    shortfalls = []
    if surface is not None and not rules.lowest <= surface <= rules.highest:
        shortfalls.append(
            OUT_OF_RANGE(
                surface=surface,
                lowest=rules.lowest,
                highest=rules.highest,
                source=rules.temperature_source,
            )
        )
    if surface is not None and conditions.air is not None and conditions.humidity is not None:
        dew = dew_point(conditions.air, conditions.humidity)
        if surface - dew < rules.above_dew_point:
            shortfalls.append(
                TOO_NEAR_DEW_POINT(
                    surface=surface,
                    above=surface - dew,
                    dew_point=dew,
                    margin=rules.above_dew_point,
                    source=rules.dew_point_source,
                )
            )
    if use_by is not None and conditions.day > use_by:
        shortfalls.append(TOO_OLD(day=conditions.day.isoformat(), use_by=use_by.isoformat()))
    return tuple(shortfalls)
