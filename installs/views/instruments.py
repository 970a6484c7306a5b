"""Choosing the instrument that something was read with."""

from collections.abc import Collection
from dataclasses import dataclass

from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _

from installs.views.operation_form import SiteForm
from jobs.code_labels import code_label
from jobs.figures import figure
from jobs.models import Person
from surveys.models import Instrument


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
        return cls(known, str(newest) if newest in {instrument.pk for instrument in known} else "")

    def add_to(self, form: SiteForm) -> None:
        form.add(
            "instrument",
            _("Read with"),
            choices=[(str(instrument.pk), _label(instrument)) for instrument in self.known],
            required=True,
            initial=self.last,
            help_text=_("Only instruments in calibration are listed; the office keeps the list."),
        )


def _label(instrument: Instrument) -> str:
    """With what tells how good it is."""
    if instrument.kind == Instrument.Kind.TAPE:
        return _("{instrument}, tape, class {accuracy}").format(
            instrument=instrument, accuracy=instrument.accuracy_class
        )
    return _("{instrument}, {kind}, ± {uncertainty} mm").format(
        instrument=instrument,
        kind=code_label(instrument.kind),
        uncertainty=figure(instrument.expanded_uncertainty),
    )
