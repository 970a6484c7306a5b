"""Bodies and answers of installations, their plans, and what is recorded at them."""

from typing import Any

from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from installs.arithmetic.criteria import PlacedValue, places_to_read
from installs.models import (
    Fixing,
    Inspection,
    Installation,
    JunctionGap,
    PlanStep,
    Reading,
    SashRecord,
)
from installs.services.inspecting import criteria_of
from jobs.api.fields import NewIdentity, Quantity, TrueOrFalse, VisibleRecord, WholeQuantity
from jobs.api.serializers import RECORD_FIELDS
from jobs.api.strict import StrictSerializer
from jobs.models import Doorset, Visit
from surveys.models import Instrument

MOST_READINGS = 40
# `made_at`: when it was done on site, where it was sent later through the queue.
SITE_FIELDS = (*RECORD_FIELDS, "made_at")


class NewInstallation(StrictSerializer):
    id = NewIdentity()
    doorset = VisibleRecord(Doorset)
    visit = VisibleRecord(Visit)


class InstallationAnswer(serializers.ModelSerializer):
    class Meta:
        model = Installation
        fields = (*RECORD_FIELDS, "doorset", "visit", "rule_set", "plan")


class ChainAdviceAnswer(serializers.Serializer):
    """One chain of leaves: what must still be read, or the answer of running-gear, by the
    numbers of the doorset's junctions."""

    jamb = serializers.CharField()
    still_to_read = serializers.ListField(child=serializers.IntegerField())
    advice = serializers.JSONField(allow_null=True)


class PlaceAnswer(serializers.Serializer):
    """A place that an inspection of the step gives a reading for."""

    place = serializers.CharField()
    unit = serializers.CharField()
    lowest = serializers.FloatField()
    highest = serializers.FloatField()


class PlanStepAnswer(serializers.ModelSerializer):
    places = serializers.SerializerMethodField()

    class Meta:
        model = PlanStep
        fields = (
            *RECORD_FIELDS,
            "installation",
            "number",
            "code",
            "title",
            "phase",
            "hold_point",
            "evidence",
            "places",
            "criteria",
            "caution",
        )

    @extend_schema_field(PlaceAnswer(many=True))
    def get_places(self, step: PlanStep) -> list[dict[str, Any]]:
        return [
            {
                "place": place,
                "unit": criterion.unit,
                "lowest": criterion.lowest,
                "highest": criterion.highest,
            }
            for place, criterion in places_to_read(criteria_of(step)).items()
        ]


class PlacedValueBody(StrictSerializer):
    place = serializers.CharField(max_length=60)
    value = Quantity("in the unit of the place", -100_000, 100_000)

    def validate(self, attrs: Any) -> Any:
        return PlacedValue(**attrs)


class NewInspection(StrictSerializer):
    id = NewIdentity()
    step = VisibleRecord(PlanStep)
    instrument = VisibleRecord(Instrument, required=False)
    readings = serializers.ListField(
        child=PlacedValueBody(), max_length=MOST_READINGS, required=False
    )
    acknowledged = TrueOrFalse(required=False)
    count = WholeQuantity("counted", 0, 1000, required=False)
    note = serializers.CharField(max_length=500, required=False)


class ReadingAnswer(serializers.ModelSerializer):
    class Meta:
        model = Reading
        fields = (
            "place",
            "value",
            "measured",
            "unit",
            "lower",
            "upper",
            "standard_uncertainty",
            "probability_conforms",
            "decision",
        )


class InspectionAnswer(serializers.ModelSerializer):
    readings = ReadingAnswer(many=True)

    class Meta:
        model = Inspection
        fields = (
            *SITE_FIELDS,
            "step",
            "inspector",
            "instrument",
            "outcome",
            "acknowledged",
            "count",
            "note",
            "readings",
        )


class NewFixing(StrictSerializer):
    id = NewIdentity()
    installation = VisibleRecord(Installation)
    member = serializers.ChoiceField(choices=Fixing.Member.choices)
    position = Quantity("mm", 0, 20000)
    kind = serializers.ChoiceField(choices=Fixing.Kind.choices)
    packers = serializers.ListField(child=Quantity("mm", 0.5, 50), max_length=20)


class FixingAnswer(serializers.ModelSerializer):
    class Meta:
        model = Fixing
        fields = (
            *SITE_FIELDS,
            "installation",
            "member",
            "position",
            "kind",
            "packers",
            "fitter",
        )


class NewJunctionGap(StrictSerializer):
    id = NewIdentity()
    installation = VisibleRecord(Installation)
    junction = WholeQuantity("(number of a junction, 0 at the left jamb)", 0, 20)
    head_gap = Quantity("mm", 0, 50)
    sill_gap = Quantity("mm", 0, 50)
    instrument = VisibleRecord(Instrument)


class JunctionGapAnswer(serializers.ModelSerializer):
    class Meta:
        model = JunctionGap
        fields = (
            *SITE_FIELDS,
            "installation",
            "junction",
            "head_gap",
            "sill_gap",
            "instrument",
            "fitter",
            "limit",
            "standard_uncertainty",
            "probability_conforms",
            "decision",
        )


class SashChange(StrictSerializer):
    beads_numbered = TrueOrFalse()
    beads_back = TrueOrFalse()
    blocks_set = TrueOrFalse()
    brace_set = TrueOrFalse()
    glass_marking = serializers.CharField(max_length=80, allow_blank=True)


class NewSashRecord(SashChange):
    id = NewIdentity()
    installation = VisibleRecord(Installation)
    leaf = WholeQuantity("(number of a sash, from the left)", 1, 20)


class SashRecordAnswer(serializers.ModelSerializer):
    class Meta:
        model = SashRecord
        fields = (
            *SITE_FIELDS,
            "installation",
            "leaf",
            "beads_numbered",
            "beads_back",
            "blocks_set",
            "brace_set",
            "glass_marking",
            "is_complete",
            "fitter",
        )
