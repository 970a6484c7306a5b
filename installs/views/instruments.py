"""Choosing the instrument that something was read with."""

from collections.abc import Mapping
from dataclasses import dataclass

from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _

from installs.arithmetic.criteria import Criterion
from installs.services.instrument_fit import Kinds, fits, usable_labels
from installs.views.operation_form import SiteForm
from jobs.code_labels import code_label
from jobs.figures import figure
from jobs.models import Person
from jobs.rules import Rules
from surveys.models import Instrument


@dataclass(frozen=True, slots=True)
class Instruments:
    """Those in calibration and good enough, since what others read proves nothing; `last` is the
    id of the one that the person read with before, where it is among them; `usable` says what to
    bring."""

    known: list[Instrument]
    last: str
    usable: str

    @classmethod
    def of(
        cls,
        person: Person,
        used: QuerySet,
        criteria: Mapping[str, Criterion],
        kinds: Kinds,
        rules: Rules,
    ) -> "Instruments":
        """Those that can show the limits of `criteria`; `used`: the person's own records that name
        an instrument."""
        visible = Instrument.objects.visible_to(person)
        in_calibration = visible.filter(calibration_due__gte=timezone.localdate())
        known = [
            instrument
            for instrument in in_calibration.order_by("name", "serial")
            if fits(criteria, kinds, instrument, rules)
        ]
        before = used.filter(instrument__isnull=False).order_by("-created_at")
        newest = before.values_list("instrument_id", flat=True).first()
        last = str(newest) if newest in {instrument.pk for instrument in known} else ""
        return cls(known, last, usable_labels(criteria, kinds, rules))

    def add_to(self, form: SiteForm) -> None:
        form.add(
            "instrument",
            _("Read with"),
            choices=[(str(instrument.pk), _label(instrument)) for instrument in self.known],
            required=True,
            initial=self.last,
            help_text=_(
                "What can show these limits: {usable}. Only such instruments are listed, and of "
                "these only those in calibration; the office keeps the list."
            ).format(usable=self.usable),
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
