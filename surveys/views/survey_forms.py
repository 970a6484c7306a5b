"""The form of a survey: who came with what, every reading, and what else was seen."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, cast

from django import forms
from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from rest_framework import serializers

from jobs.api.fields import QuantityField
from jobs.api.problems import complaints
from jobs.figures import day, moment
from jobs.models import Person, Visit
from jobs.views.forms import RecordForm
from jobs.views.quantities import QuantityFormField
from surveys.api.conditions import ConditionsSerializer
from surveys.api.opening_serializers import OpeningToFitSerializer
from surveys.arithmetic.uncertainty import READ_GAPS, READ_LEVELS, READ_SIZES
from surveys.models import Instrument, Photo, Survey
from surveys.reading_kinds import KINDS, Size
from surveys.reading_slots import Wanted
from surveys.said_before import carried_over
from surveys.services.readings import readings_json
from surveys.views.condition_fields import ConditionFields, fields_of
from surveys.views.doubt_fields import DoubtFields
from surveys.views.reading_fields import ReadingFields
from surveys.views.wall_fields import WallFields


class NominalSize(forms.Form):
    """About how large an opening is of which nothing is known yet."""

    width = QuantityFormField(QuantityField("mm", 300, 20000), label=gettext_lazy("Width, about"))
    height = QuantityFormField(QuantityField("mm", 300, 6000), label=gettext_lazy("Height, about"))

    @property
    def size(self) -> Size:
        return Size(self.cleaned_data["width"], self.cleaned_data["height"])


class SurveyForm(ReadingFields, WallFields, ConditionFields, DoubtFields, RecordForm):
    """Fields of a survey; `again` is the survey whose readings are taken again, `known` what stays
    as earlier surveys found it, `photos` are those that surveys of the opening have. `before` is an
    earlier survey whose readings stand beside the fields, and whose conditions are carried over as
    far as they cannot have changed by this `stage`."""

    taken_at = forms.DateTimeField(
        label=gettext_lazy("Read at"),
        initial=timezone.localtime,
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
    )

    def __init__(
        self,
        data: Any = None,
        *,
        person: Person,
        visits: QuerySet[Visit],
        size: Size,
        photos: Iterable[Photo] = (),
        again: Survey | None = None,
        known: Mapping[str, str] | None = None,
        wanted: Wanted | None = None,
        stage: str = "",
        before: Survey | None = None,
    ) -> None:
        earlier = _earlier_values(again) if again else {}
        carried = fields_of(carried_over(stage, before.conditions)) if before and not again else {}
        super().__init__(data, initial={**(known or {}), **carried, **earlier})
        self.add_slots(
            size,
            readings_json(again) if again else None,
            wanted,
            readings_json(before) if before else None,
        )
        self.carry([*(known or {}), *carried])
        ConditionFields.say_where(self)
        WallFields.say_where(self)
        self.fields["visit"] = VisitField(queryset=visits, empty_label=None, label=_("Visit"))
        papers = self.fields["asbestos_papers"]
        cast(forms.MultipleChoiceField, papers).choices = [(str(p.pk), str(p)) for p in photos]
        self._offer_instruments(again or person.surveys.first())
        # On a phone it was read when it is saved, unless somebody says otherwise.
        self.fields["taken_at"].widget.attrs["data-not-sent"] = True
        self.fields["id"].widget.attrs["data-not-sent"] = True

    def _offer_instruments(self, earlier: Survey | None) -> None:
        """Those of the earlier survey are chosen in advance, where they may still be used."""
        today = timezone.localdate()
        expired = list(Instrument.objects.filter(calibration_due__lt=today).order_by("name"))
        self.fields["instrument"] = _instrument_field(
            READ_SIZES,
            expired,
            label=_("Sizes read with"),
            empty_label=_("Choose"),
            initial=earlier and earlier.instrument_id,
        )
        self.fields["level_instrument"] = _instrument_field(
            READ_LEVELS,
            expired,
            label=_("Levels and plumb read with"),
            empty_label=_("None: no levels were read"),
            initial=earlier and earlier.level_instrument_id,
            required=False,
        )
        self.fields["gap_instrument"] = _instrument_field(
            READ_GAPS,
            expired,
            label=_("Gaps at straightedge and square read with"),
            empty_label=_("The same as sizes"),
            initial=earlier and earlier.gap_instrument_id,
            required=False,
        )
        self.fields["check_instrument"] = _instrument_field(
            READ_SIZES,
            expired,
            label=_("Second instrument"),
            empty_label=_("None: nothing was read again"),
            initial=earlier and earlier.check_instrument_id,
            required=False,
        )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        self.check_completeness()
        cleaned["readings"] = self.readings() | {"higher_end": self.higher_end()}
        cleaned["surfaces"] = self.surfaces()
        cleaned["conditions"] = self.conditions()
        self._check("/readings", OpeningToFitSerializer(data=cleaned["readings"]))
        self.check_sizes()
        conditions = ConditionsSerializer(data=cleaned["conditions"])
        if self._check("/conditions", conditions):
            cleaned["conditions"] = conditions.validated_data
        return cleaned

    def _check(self, pointer: str, serializer: serializers.Serializer) -> bool:
        """By the endpoint's own limits, each error beside its field."""
        if serializer.is_valid():
            return True
        for complaint in complaints(serializer.errors):
            name = self._field_of(pointer + complaint["pointer"])
            if name is None or name not in self.errors:
                self._complain(name, complaint["detail"])
        return False

    def _complain(self, name: str | None, detail: str) -> None:
        if name is not None or not self.errors:
            self.add_error(name, detail)

    def _field_of(self, pointer: str) -> str | None:
        """The field that a pointer into the survey's JSON is about."""
        if pointer in self.typed_at:
            return self.typed_at[pointer]
        plain = pointer.removeprefix("/readings").removeprefix("/conditions")
        if plain.strip("/").replace("/", ".") in KINDS:
            return plain.strip("/").replace("/", "_") + "_0"
        if plain.startswith("/way_in/corners"):
            return "way_in_corners"
        if plain.startswith("/obstruction_places"):
            return "obstruction_places"
        return super()._field_of(plain)

    @property
    def record_values(self) -> dict[str, Any]:
        """What `record_survey` takes, as it was checked."""
        names = (
            "visit",
            "taken_at",
            "instrument",
            "level_instrument",
            "gap_instrument",
            "check_instrument",
            "surfaces",
            "readings",
            "conditions",
        )
        return {name: self.cleaned_data[name] for name in names}


def _earlier_values(survey: Survey) -> dict[str, Any]:
    return {
        **fields_of(survey.conditions),
        **{f"surface_{side}": surface for side, surface in survey.surfaces.items()},
        **{f"higher_end_{side}": end for side, end in survey.higher_end.items()},
    }


class VisitField(forms.ModelChoiceField):
    def label_from_instance(self, visit: Visit) -> str:
        return f"{moment(visit.start)}, {visit.crew.name}"


def _instrument_field(
    kinds: tuple[str, ...], expired: Sequence[Instrument], **options: Any
) -> forms.ModelChoiceField:
    """Offers those in calibration today; the help text says which of the `expired` are not offered,
    and why."""
    good = Instrument.objects.filter(calibration_due__gte=timezone.localdate(), kind__in=kinds)
    return forms.ModelChoiceField(
        queryset=good.order_by("name", "serial"),
        help_text=_not_offered([instrument for instrument in expired if instrument.kind in kinds]),
        **options,
    )


def _not_offered(instruments: Iterable[Instrument]) -> str:
    since = _("{instrument} since {day}")
    names = ", ".join(
        since.format(instrument=instrument, day=day(instrument.calibration_due))
        for instrument in instruments
    )
    message = _("Out of calibration, so not offered: {instruments}.")
    return message.format(instruments=names) if names else ""
