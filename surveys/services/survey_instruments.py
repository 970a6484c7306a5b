"""Which instruments a survey can have been taken with, and how good they were then."""

from typing import Any

from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.errors import InvalidField
from surveys.arithmetic.uncertainty import READ_GAPS, READ_LEVELS, READ_SIZES
from surveys.frozen import MeasuredWith
from surveys.models import Instrument, Reading, Survey
from surveys.services.instruments import facts_on, require_reach
from surveys.services.readings import each


def check_instruments(survey: Survey, readings: dict[str, Any]) -> None:
    """Raises `InvalidField` for an instrument that cannot have read what it is named for, and for
    a reading beyond what it reaches."""
    if survey.instrument.kind not in READ_SIZES:
        raise InvalidField("/instrument", _measures_no_widths(survey.instrument))
    level = survey.level_instrument
    if level and level.kind not in READ_LEVELS:
        raise InvalidField(
            "/level_instrument",
            _("{instrument} measures no levels; give a laser or a level").format(instrument=level),
        )
    _check_second(survey)
    _check_gaps(survey, readings)
    for given in each(readings):
        used = Reading(survey=survey, quantity=given.quantity).instrument
        require_reach(used, {given.value_pointer: given.value})


def _check_second(survey: Survey) -> None:
    """An error that one instrument puts into all of its readings shows against another alone."""
    second = survey.check_instrument
    if second is None:
        return
    if second.kind not in READ_SIZES:
        raise InvalidField("/check_instrument", _measures_no_widths(second))
    if second.pk == survey.instrument.pk:
        raise InvalidField(
            "/check_instrument",
            _("this is the instrument that all sizes were read with; check with another one"),
        )


def _measures_no_widths(instrument: Instrument) -> str:
    return _("{instrument} measures no widths; give a tape or a laser").format(
        instrument=instrument
    )


def _check_gaps(survey: Survey, readings: dict[str, Any]) -> None:
    gauge = survey.gap_instrument
    if gauge and gauge.kind not in READ_GAPS:
        raise InvalidField(
            "/gap_instrument",
            _("{instrument} reads no gaps; give a tape or a gauge").format(instrument=gauge),
        )
    laid = readings.get("straightedge") or readings.get("splay")
    if laid and gauge is None and survey.instrument.kind not in READ_GAPS:
        raise InvalidField(
            "/gap_instrument",
            _("a laser reads no gap under a straightedge; give the tape or gauge that did"),
        )


def measured_with(survey: Survey) -> MeasuredWith:
    """The instruments of a survey as they were on its day."""
    day = timezone.localdate(survey.taken_at)
    used = {
        name: facts_on(instrument, day) if instrument else None
        for name in ("level_instrument", "check_instrument", "gap_instrument")
        for instrument in (getattr(survey, name),)
    }
    return MeasuredWith(instrument=facts_on(survey.instrument, day), **used)
