"""Choosing the instrument that something was read with."""

from collections.abc import Collection
from dataclasses import dataclass

from django.db.models import QuerySet
from django.utils import timezone

from installs.views.operation_form import SiteForm
from jobs.models import Person
from surveys.models import Instrument

ASK_THE_OFFICE = "Only instruments in calibration are here; the office keeps the list."


@dataclass(frozen=True, slots=True)
class Instruments:
    """Those in calibration, since what others read proves nothing; `last` is the id of the one that
    the person read with before, where it is among them."""

    known: list[Instrument]
    last: str

    @classmethod
    def of(cls, person: Person, used: QuerySet, kinds: Collection[str] = ()) -> "Instruments":
        """`used`: the person's own records that name an instrument; `kinds`: those that can read
        it, any where there are none."""
        visible = Instrument.objects.visible_to(person)
        usable = visible.filter(calibration_due__gte=timezone.localdate())
        if kinds:
            usable = usable.filter(kind__in=kinds)
        known = list(usable.order_by("name", "serial"))
        before = used.filter(instrument__isnull=False).order_by("-created_at")
        newest = before.values_list("instrument_id", flat=True).first()
        return cls(known, str(newest) if newest in {one.pk for one in known} else "")

    def add_to(self, form: SiteForm) -> None:
        named = [(str(one.pk), f"{one}, {_how_good(one)}") for one in self.known]
        last, help_text = self.last, ASK_THE_OFFICE
        form.add(
            "instrument",
            "Read with",
            choices=named,
            required=True,
            initial=last,
            help_text=help_text,
        )


def _how_good(instrument: Instrument) -> str:
    if instrument.kind == Instrument.Kind.TAPE:
        return f"tape, class {instrument.accuracy_class}"
    return f"{instrument.kind}, ± {instrument.expanded_uncertainty:g} mm"
