"""Which instruments can show the limits of a step, and which cannot and are refused."""

from collections.abc import Mapping, Sequence
from datetime import date
from itertools import islice

from django.utils.translation import gettext as _

from installs.arithmetic.criteria import Criterion, UsableInstrument
from installs.instrument_labels import usable_label
from installs.services.recording import arithmetic_facts
from jobs.code_labels import code_label
from jobs.errors import UnfitInstrument
from jobs.figures import day as write_day
from jobs.figures import probability
from jobs.rules import Rules
from surveys.models import Instrument, InstrumentKind

Kinds = Sequence[str]
"""Kinds that can read a step; any where there are none."""
# Enough to choose from in a sentence.
MOST_NAMED = 3


def gap_criteria(limit: float) -> dict[str, Criterion]:
    """Gap at the head less gap at the sill, either way, mm."""
    places = ("head_gap", "sill_gap")
    return {"difference": Criterion(-limit, limit, "mm", "", "difference", places, 0.0, 50.0)}


def fits(
    criteria: Mapping[str, Criterion], kinds: Kinds, instrument: Instrument, rules: Rules
) -> bool:
    """Whether perfect work would be shown to pass often enough."""
    if kinds and instrument.kind not in kinds:
        return False
    least: float = rules["instruments.least_chance"]
    return _chance(criteria, instrument, rules) >= least


def require_fit(
    criteria: Mapping[str, Criterion],
    kinds: Kinds,
    instrument: Instrument,
    rules: Rules,
    day: date,
) -> None:
    """Raises `UnfitInstrument` at `/instrument` for one that cannot show these limits, or whose
    calibration had run out on the day of the reading; it says what to read again with."""
    overdue = instrument.calibration_due < day
    if not overdue and fits(criteria, kinds, instrument, rules):
        return
    usable = usable_labels(criteria, kinds, rules)
    if overdue:
        text = _("the calibration of {instrument} was due on {day}")
        why = text.format(instrument=instrument, day=write_day(instrument.calibration_due))
    elif kinds and instrument.kind not in kinds:
        text = _("this kind of instrument cannot read this: {kind}")
        why = text.format(kind=code_label(instrument.kind))
    else:
        text = _("{instrument} cannot show these limits: of perfect work {chance} would pass")
        chance = probability(_chance(criteria, instrument, rules))
        why = text.format(instrument=instrument, chance=chance)
    if known := _known(criteria, kinds, rules, day):
        text = _("{why}; read again with one of these: {known} (what can read it: {usable})")
        detail = text.format(why=why, known=", ".join(map(str, known)), usable=usable)
    else:
        text = _("{why}; read again with one that is in calibration, of these: {usable}")
        detail = text.format(why=why, usable=usable)
    raise UnfitInstrument("/instrument", detail)


def _known(
    criteria: Mapping[str, Criterion], kinds: Kinds, rules: Rules, day: date
) -> list[Instrument]:
    """The firm's own that can, some of them."""
    in_calibration = Instrument.objects.filter(calibration_due__gte=day).order_by("name", "serial")
    good = (known for known in in_calibration if fits(criteria, kinds, known, rules))
    return list(islice(good, MOST_NAMED))


def usable_instruments(
    criteria: Mapping[str, Criterion], kinds: Kinds, rules: Rules
) -> list[UsableInstrument]:
    """What to bring for a step, by kind; empty where nothing is read."""
    # Loaded here: numpy is slow to load, and most processes never ask.
    from installs.arithmetic.instrument_fit import greatest_uncertainty  # noqa: PLC0415

    if all(criterion.method == "count" for criterion in criteria.values()):
        return []
    usable = []
    for kind in kinds or InstrumentKind.values:
        if kind == InstrumentKind.TAPE:
            usable.append(UsableInstrument(kind, None))
            continue
        greatest = greatest_uncertainty(
            criteria, kind, rules["decision.confidence"], rules["instruments.least_chance"]
        )
        if greatest is not None:
            usable.append(UsableInstrument(kind, greatest))
    return usable


def usable_labels(criteria: Mapping[str, Criterion], kinds: Kinds, rules: Rules) -> str:
    return ", ".join(map(usable_label, usable_instruments(criteria, kinds, rules)))


def _chance(criteria: Mapping[str, Criterion], instrument: Instrument, rules: Rules) -> float:
    # As above.
    from installs.arithmetic.instrument_fit import chance_of_passing  # noqa: PLC0415

    return chance_of_passing(criteria, arithmetic_facts(instrument), rules["decision.confidence"])
