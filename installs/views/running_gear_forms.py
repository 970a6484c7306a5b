"""What is recorded at the running gear: gaps at a junction, turns of a carrier."""

from collections.abc import Iterable, Iterator

from django.http import HttpRequest
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from installs.arithmetic.chains import ChainPlace
from installs.models import Installation, JunctionGap
from installs.operations import RECORD_GAP, RECORD_LIFT
from installs.running_gear_advice import ChainAdvice
from installs.services.instrument_fit import gap_criteria
from installs.views.instruments import Instruments
from installs.views.operation_form import OperationForm
from jobs.views.access import person_of
from surveys.arithmetic.uncertainty import READ_GAPS


def gap_instruments(request: HttpRequest, fitting: Installation) -> Instruments:
    """Those that can show whether gaps are even, in the hands of who asks."""
    person = person_of(request)
    return Instruments.of(
        person,
        JunctionGap.objects.filter(fitter=person),
        gap_criteria(fitting.plan.running_gear.tolerance),
        READ_GAPS,
        fitting,
    )


class GapForm(OperationForm):
    operation = RECORD_GAP
    button = gettext_lazy("Record these gaps")

    def __init__(
        self,
        request: HttpRequest,
        fitting: Installation,
        junction: int,
        instruments: Instruments,
        *,
        read: JunctionGap | None = None,
    ) -> None:
        """`read`: gaps of this round, which are filled in to be corrected."""
        super().__init__(
            request,
            about=f"{fitting.pk}-{junction}",
            title=_("Gaps of junction {number}").format(number=junction),
            since=read.pk if read else instruments.chosen,
            fixed={"installation": str(fitting.pk), "junction": junction},
            initial=_values_of(read) if read else None,
        )
        self.add("head_gap", _("Gap at the head"))
        self.add("sill_gap", _("Gap at the sill"))
        gear = fitting.plan.running_gear
        if gear.season and any(chain.closes_at == junction for chain in gear.chains):
            self.add("temperature", _("Temperature of the leaves today"))
        instruments.add_to(self)


class GapRow(GapForm):
    """On a sheet of all junctions, where each field has to say which it is of."""

    def __init__(
        self,
        request: HttpRequest,
        fitting: Installation,
        junction: int,
        instruments: Instruments,
        read: JunctionGap | None,
    ) -> None:
        super().__init__(request, fitting, junction, instruments, read=read)
        head, sill = self.fields["head_gap"], self.fields["sill_gap"]
        head.label = _("Head, junction {number}").format(number=junction)
        sill.label = _("Sill, junction {number}").format(number=junction)
        head.help_text = sill.help_text = ""


def _values_of(gap: JunctionGap) -> dict[str, float | None]:
    names = ("head_gap", "sill_gap", "temperature")
    return {name: getattr(gap, name) for name in names}


class LiftForm(OperationForm):
    """Turns of one carrier; what is advised is filled in."""

    operation = RECORD_LIFT
    button = gettext_lazy("Record these turns")

    def __init__(
        self,
        request: HttpRequest,
        fitting: Installation,
        junction: int,
        chain: str,
        advised: float | None,
    ) -> None:
        super().__init__(
            request,
            about=f"{fitting.pk}-{junction}-{chain}",
            title=_("Turns at junction {number}").format(number=junction),
            since=advised,
            fixed={"installation": str(fitting.pk), "junction": junction, "chain": chain},
        )
        self.chain, self.advised = chain, advised
        self.add(
            "turns",
            _("Turns made, up is positive and down is negative"),
            initial=None if advised is None else f"{advised:.2f}".rstrip("0").rstrip("."),
        )


def lift_forms(
    request: HttpRequest,
    fitting: Installation,
    chains: Iterable[ChainAdvice],
    junction: int | None = None,
) -> Iterator[LiftForm]:
    """One for every carrier of these chains; of this junction alone where one is named."""
    for chain in chains:
        for place in places_of(fitting, chain.jamb):
            if place.support == "carrier" and junction in (None, place.junction):
                advised = _advised(chain, place.junction)
                yield LiftForm(request, fitting, place.junction, chain.jamb, advised)


def places_of(fitting: Installation, jamb: str) -> tuple[ChainPlace, ...]:
    """Of the chain on this jamb."""
    return next(c.places for c in fitting.plan.running_gear.chains if c.jamb == jamb)


def _advised(chain: ChainAdvice, number: int) -> float | None:
    """Turns at this junction; None while there is nothing to turn, or nothing is known."""
    adjustments = chain.advice["adjustments"] if chain.advice else []
    return next((a["turns"] for a in adjustments if a["junction"] == number and a["turns"]), None)
