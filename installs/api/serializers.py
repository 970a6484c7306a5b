"""Bodies and answers of installations, their plans, and what is recorded at them."""

from dataclasses import asdict
from typing import Any

from django.utils.translation import gettext_lazy
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from installs.arithmetic.conformity import settling_uncertainty
from installs.arithmetic.criteria import PlacedValue, places_to_read
from installs.frame_places import ways_of
from installs.frozen import FITTING_PLAN
from installs.models import (
    Fixing,
    Inspection,
    Installation,
    JunctionGap,
    PlanStep,
    Reading,
    SashRecord,
)
from installs.next_act import NEXT_ACT
from installs.sash_advice import squaring_lift_of
from installs.services.inspecting import criteria_of
from installs.services.instrument_fit import usable_instruments
from jobs.api.fields import (
    ClientIdField,
    FrozenRecordField,
    IntegerQuantityField,
    QuantityField,
    StrictBooleanField,
    VisibleRelatedField,
)
from jobs.api.serializers import RECORD_FIELDS
from jobs.api.strict import StrictSerializer
from jobs.models import Doorset, Visit
from surveys.models import Instrument

MOST_READINGS = 40
# `made_at`: when it was done on site, where it was sent later through the queue.
SITE_FIELDS = (*RECORD_FIELDS, "made_at")


# No docstring: it would describe every record in the API's documentation.
class SiteRecordSerializer(serializers.ModelSerializer):
    made_at = serializers.DateTimeField(source="recorded_at", read_only=True, allow_null=True)


class InstallationCreateSerializer(StrictSerializer):
    id = ClientIdField()
    doorset = VisibleRelatedField(Doorset)
    visit = VisibleRelatedField(Visit)


class InstallationSerializer(serializers.ModelSerializer):
    plan = FrozenRecordField(FITTING_PLAN)

    class Meta:
        model = Installation
        fields = (*RECORD_FIELDS, "doorset", "visit", "rule_set", "plan", "replanned_because")


class ReplanSerializer(StrictSerializer):
    reason = serializers.CharField(max_length=500)


class ChainAdviceSerializer(serializers.Serializer):
    """One chain of leaves: what must still be read, or the answer of running-gear, by the
    numbers of the doorset's junctions."""

    jamb = serializers.CharField()
    still_to_read = serializers.ListField(child=serializers.IntegerField())
    advice = serializers.JSONField(allow_null=True)
    season = serializers.DictField(
        allow_null=True, help_text="The closing gap to set at the newest temperature read there."
    )


class PlaceSerializer(serializers.Serializer):
    """A place that an inspection of the step gives a reading for."""

    place = serializers.CharField()
    unit = serializers.CharField()
    lowest = serializers.FloatField()
    highest = serializers.FloatField()
    positive = serializers.CharField(
        help_text="Which way the reading counts as positive, where that is told."
    )


class UsableInstrumentSerializer(serializers.Serializer):
    """A kind that can read the step; its expanded uncertainty (k = 2) is at most this, mm, null for
    a tape."""

    kind = serializers.ChoiceField(choices=Instrument.Kind.choices)
    greatest_uncertainty = serializers.FloatField(allow_null=True)


class PlanStepSerializer(serializers.ModelSerializer):
    usable_instruments = serializers.SerializerMethodField()
    places = serializers.SerializerMethodField()
    checks = serializers.SerializerMethodField()
    asks = serializers.ListField(
        child=serializers.CharField(), help_text="Fields of its record beside the evidence."
    )

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
            "usable_instruments",
            "criteria",
            "checks",
            "asks",
            "caution",
        )

    @extend_schema_field(serializers.DictField(child=serializers.CharField()))
    def get_checks(self, step: PlanStep) -> dict[str, str]:
        """What is looked at, in words, by its name, in working order."""
        return step.in_order(step.checks)

    @extend_schema_field(PlaceSerializer(many=True))
    def get_places(self, step: PlanStep) -> list[dict[str, Any]]:
        criteria = criteria_of(step)
        ways = ways_of(criteria)
        return [
            {
                "place": place,
                "unit": criterion.unit,
                "lowest": criterion.lowest,
                "highest": criterion.highest,
                "positive": ways.get(place, ""),
            }
            for place, criterion in places_to_read(criteria).items()
        ]

    @extend_schema_field(UsableInstrumentSerializer(many=True))
    def get_usable_instruments(self, step: PlanStep) -> list[dict[str, Any]]:
        rules = step.installation.rule_set.rules
        usable = usable_instruments(criteria_of(step), step.instruments, rules)
        return [asdict(instrument) for instrument in usable]


class PlacedValueSerializer(StrictSerializer):
    place = serializers.CharField(max_length=60)
    value = QuantityField(gettext_lazy("in the unit of the place"), -100_000, 100_000)

    def validate(self, attrs: Any) -> Any:
        return PlacedValue(**attrs)


class InspectionCreateSerializer(StrictSerializer):
    id = ClientIdField()
    step = VisibleRelatedField(PlanStep)
    instrument = VisibleRelatedField(Instrument, required=False)
    readings = serializers.ListField(
        child=PlacedValueSerializer(), max_length=MOST_READINGS, required=False
    )
    acknowledged = StrictBooleanField(required=False)
    checks = serializers.DictField(
        child=StrictBooleanField(), required=False, help_text="By the names of the step's checks."
    )
    sealant_class = QuantityField(gettext_lazy("percent of movement"), 0, 100, required=False)
    surface_temperature = QuantityField(
        "C", -30, 80, required=False, help_text="Of the faces of the joint while it is sealed."
    )
    air_temperature = QuantityField("C", -30, 60, required=False)
    relative_humidity = QuantityField("%", 1, 100, required=False)
    sealant_use_by = serializers.DateField(
        required=False, help_text="The day on the cartridge, by which the sealant is used."
    )
    return_on = serializers.DateField(
        required=False, help_text="Protective tape stays inside until this day."
    )
    lifted_with = serializers.CharField(
        max_length=200,
        required=False,
        help_text="Who lifted beside the crew, or the lifting aid; needed where it is too small.",
    )
    note = serializers.CharField(max_length=500, required=False)


class ReadingSerializer(serializers.ModelSerializer):
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


class InspectionSerializer(SiteRecordSerializer):
    readings = ReadingSerializer(many=True)
    would_settle = serializers.SerializerMethodField()
    next_act = serializers.SerializerMethodField()

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
            "checks",
            "sealant_class",
            "surface_temperature",
            "air_temperature",
            "relative_humidity",
            "sealant_use_by",
            "return_on",
            "lifted_with",
            "note",
            "shortfalls",
            "readings",
            "would_settle",
            "next_act",
        )

    @extend_schema_field({"type": ["object", "null"], "additionalProperties": {}})
    def get_next_act(self, inspection: Inspection) -> dict[str, Any] | None:
        """What to do next at each member of the frame that it read, as it was advised then."""
        return NEXT_ACT.plain(inspection.next_act) if inspection.next_act else None

    @extend_schema_field(serializers.DictField(child=serializers.FloatField()))
    def get_would_settle(self, inspection: Inspection) -> dict[str, float]:
        """For each number that stayed in doubt, the standard uncertainty that would decide it."""
        if inspection.outcome != Inspection.Outcome.INCONCLUSIVE:
            return {}
        confidence = inspection.step.installation.rule_set.rules["decision.confidence"]
        return {
            reading.place: settling_uncertainty(
                reading.value, reading.lower, reading.upper, confidence
            )
            for reading in inspection.readings.all()
            if reading.decision == Inspection.Outcome.INCONCLUSIVE
        }


class FixingCreateSerializer(StrictSerializer):
    id = ClientIdField()
    installation = VisibleRelatedField(Installation)
    member = serializers.ChoiceField(choices=Fixing.Member.choices)
    position = QuantityField("mm", 0, 20000)
    kind = serializers.ChoiceField(choices=Fixing.Kind.choices)
    packers = serializers.ListField(
        child=QuantityField("mm", 0.5, 50),
        max_length=20,
        default=list,
        help_text="None where left out.",
    )


class FixingSerializer(SiteRecordSerializer):
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


class JunctionGapCreateSerializer(StrictSerializer):
    id = ClientIdField()
    installation = VisibleRelatedField(Installation)
    junction = IntegerQuantityField(
        gettext_lazy("(number of a junction, 0 at the left jamb)"), 0, 20
    )
    head_gap = QuantityField("mm", 0, 50)
    sill_gap = QuantityField("mm", 0, 50)
    instrument = VisibleRelatedField(Instrument)
    temperature = QuantityField(
        "C",
        -30,
        80,
        required=False,
        help_text="Of the leaves, where the junction closes a chain that grows with the season.",
    )


class JunctionGapSerializer(SiteRecordSerializer):
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
            "leaf_gap",
            "together_limit",
            "temperature",
            "standard_uncertainty",
            "probability_conforms",
            "decision",
        )


class SashRecordUpdateSerializer(StrictSerializer):
    blocks_set = StrictBooleanField()
    brace_set = StrictBooleanField()
    glass_marking = serializers.CharField(max_length=80, allow_blank=True, required=False)
    rising_diagonal = QuantityField("mm", 200, 6000, required=False)
    falling_diagonal = QuantityField("mm", 200, 6000, required=False)


class SashRecordCreateSerializer(SashRecordUpdateSerializer):
    id = ClientIdField()
    installation = VisibleRelatedField(Installation)
    leaf = IntegerQuantityField(gettext_lazy("(number of a sash, from the left)"), 1, 20)


class SashRecordSerializer(SiteRecordSerializer):
    squaring_lift = serializers.SerializerMethodField()
    out_of_square = serializers.FloatField(
        help_text="mm by which its diagonals differ, where that is more than allowed; else 0."
    )

    class Meta:
        model = SashRecord
        fields = (
            *SITE_FIELDS,
            "installation",
            "leaf",
            "blocks_set",
            "brace_set",
            "glass_marking",
            "rising_diagonal",
            "falling_diagonal",
            "squaring_lift",
            "out_of_square",
            "is_complete",
            "fitter",
        )

    def get_squaring_lift(self, sash: SashRecord) -> float | None:
        """mm to lift the free stile by, so that the diagonals become equal."""
        return squaring_lift_of(sash)
