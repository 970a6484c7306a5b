"""Choosing the instrument that something was read with.

Only those that can show the limits and are in calibration are offered. One is chosen beforehand
where it is the only one, or the newest of these that the person has read with; on a phone, the one
that was chosen for this kind of reading before on the same visit (`remembered_instrument.js`).
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from django import forms
from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _

from installs.arithmetic.criteria import Criterion
from installs.models import Installation
from installs.services.instrument_fit import Kinds, fits, usable_labels
from installs.views.operation_form import SiteForm
from jobs.code_labels import code_label
from jobs.figures import figure
from jobs.models import Person
from surveys.models import Instrument


class InstrumentSelect(forms.Select):
    """Each option says until when it is in calibration: a page may be saved on a phone for days."""

    def __init__(self, until: Mapping[str, date], **options: Any) -> None:
        super().__init__(**options)
        self.until = until

    def create_option(self, name: str, value: Any, *given: Any, **more: Any) -> dict[str, Any]:
        option: dict[str, Any] = super().create_option(name, value, *given, **more)
        if until := self.until.get(str(value)):
            option["attrs"]["data-until"] = until.isoformat()
        return option


@dataclass(frozen=True, slots=True)
class Instruments:
    """`known` are good enough and in calibration, since what others read proves nothing; `chosen`
    is the id of the one to begin with, empty where that is for the person to say; `usable` says
    what to bring. `visit` and `kind` are what a phone remembers a choice by."""

    known: list[Instrument]
    chosen: str
    usable: str
    visit: str
    kind: str

    @classmethod
    def of(
        cls,
        person: Person,
        used: QuerySet,
        criteria: Mapping[str, Criterion],
        kinds: Kinds,
        fitting: Installation,
    ) -> "Instruments":
        """Those that can show the limits of `criteria`; `used`: the person's own records that name
        an instrument."""
        rules = fitting.rule_set.rules
        visible = Instrument.objects.visible_to(person)
        in_calibration = visible.filter(calibration_due__gte=timezone.localdate())
        known = [
            instrument
            for instrument in in_calibration.order_by("name", "serial")
            if fits(criteria, kinds, instrument, rules)
        ]
        return cls(
            known,
            _begin_with(known, used),
            usable_labels(criteria, kinds, rules),
            _visit_of(person, fitting),
            "-".join(sorted(kinds)) or "any",
        )

    def add_to(self, form: SiteForm) -> None:
        until = {str(instrument.pk): instrument.calibration_due for instrument in self.known}
        remembered = {"data-remembered": self.kind, "data-visit": self.visit}
        form.add(
            "instrument",
            _("Read with"),
            choices=[(str(instrument.pk), _label(instrument)) for instrument in self.known],
            widget=InstrumentSelect(until, attrs=remembered),
            required=True,
            initial=self.chosen,
            help_text=_(
                "What can show these limits: {usable}. Only such instruments are listed, and of "
                "these only those in calibration; the office keeps the list."
            ).format(usable=self.usable),
        )


def _begin_with(known: Iterable[Instrument], used: QuerySet) -> str:
    keys = [instrument.pk for instrument in known]
    if len(keys) == 1:
        return str(keys[0])
    newest = used.filter(instrument__in=keys).order_by("-created_at")
    return str(newest.values_list("instrument_id", flat=True).first() or "")


def _visit_of(person: Person, fitting: Installation) -> str:
    """The newest visit of the person to the job that is today or before; that of the fitting where
    there is none."""
    begun = fitting.job.visits.not_cancelled().filter(
        people=person, start__date__lte=timezone.localdate()
    )
    newest = begun.order_by("-start").values_list("pk", flat=True).first()
    return str(newest or fitting.visit_id)


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
