"""Bodies and answers of instruments, surveys, photos and fit decisions."""

from typing import Any

from rest_framework import serializers

from jobs.api.fields import ClientIdField, FrozenRecordField, QuantityField, VisibleRelatedField
from jobs.api.made_on_site import MadeOnSiteSerializer
from jobs.api.serializers import RECORD_FIELDS
from jobs.api.strict import StrictSerializer
from jobs.models import Doorset, Opening, Visit
from jobs.sentences import sentence
from surveys.api.conditions import ConditionsSerializer
from surveys.api.opening_serializers import (
    InstrumentFactsSerializer,
    OpeningToFitSerializer,
    SurfacesSerializer,
)
from surveys.frozen import DECIDED_FIT, FIT_INPUTS, SURVEY_ASSESSMENT
from surveys.models import FitDecision, Instrument, Photo, Survey
from surveys.services.readings import readings_json

PHOTO_FIELDS = ("width", "height", "sha256", "caption", "warnings")


class InstrumentCreateSerializer(InstrumentFactsSerializer):
    id = ClientIdField()
    name = serializers.CharField(max_length=80)
    serial = serializers.CharField(max_length=60)
    greatest_reading = QuantityField("mm", 1, 100_000, required=False)
    calibration_due = serializers.DateField()


class InstrumentUpdateSerializer(StrictSerializer):
    name = serializers.CharField(max_length=80)
    calibration_due = serializers.DateField()
    expanded_uncertainty = QuantityField("mm", 0.01, 50)
    coverage_factor = QuantityField(sentence("(no unit)"), 1, 4)
    greatest_reading = QuantityField("mm", 1, 100_000)


class InstrumentSerializer(serializers.ModelSerializer):
    class Meta:
        model = Instrument
        fields = (
            *RECORD_FIELDS,
            "name",
            "kind",
            "serial",
            "accuracy_class",
            "from_end_hook",
            "expanded_uncertainty",
            "coverage_factor",
            "greatest_reading",
            "calibration_due",
        )


class SurveyCreateSerializer(StrictSerializer):
    id = ClientIdField()
    opening = VisibleRelatedField(Opening)
    visit = VisibleRelatedField(Visit)
    stage = serializers.ChoiceField(choices=Survey.Stage.choices)
    taken_at = serializers.DateTimeField(
        required=False,
        help_text="Where it is left out: now, or when it was made, in the queue of a phone.",
    )
    instrument = VisibleRelatedField(Instrument)
    level_instrument = VisibleRelatedField(Instrument, required=False, allow_null=True)
    check_instrument = VisibleRelatedField(
        Instrument,
        required=False,
        allow_null=True,
        help_text="What sizes were read with a second time.",
    )
    gap_instrument = VisibleRelatedField(
        Instrument,
        required=False,
        allow_null=True,
        help_text="What the gaps at straightedge and square were read with; else `instrument`.",
    )
    readings = OpeningToFitSerializer()
    surfaces = SurfacesSerializer(
        required=False,
        help_text="Where it is left out: what a structural opening is made of, else unknown.",
    )
    conditions = ConditionsSerializer()


class SurveySerializer(serializers.ModelSerializer):
    readings = serializers.SerializerMethodField()
    assessment = FrozenRecordField(SURVEY_ASSESSMENT)

    class Meta:
        model = Survey
        fields = (
            *RECORD_FIELDS,
            "opening",
            "visit",
            "surveyor",
            "stage",
            "taken_at",
            "instrument",
            "level_instrument",
            "check_instrument",
            "gap_instrument",
            "readings",
            "surfaces",
            "conditions",
            "assessment",
            "accepted_at",
        )

    def get_readings(self, survey: Survey) -> dict[str, Any]:
        return readings_json(survey)


class PhotoCreateSerializer(MadeOnSiteSerializer):
    id = ClientIdField()
    image = serializers.FileField(help_text="JPEG, PNG or HEIC.")
    caption = serializers.CharField(max_length=160, required=False)


class CaptionSerializer(StrictSerializer):
    caption = serializers.CharField(max_length=160, allow_blank=True)


class PhotoSerializer(serializers.ModelSerializer):
    made_at = serializers.DateTimeField(source="recorded_at", read_only=True, allow_null=True)

    class Meta:
        model = Photo
        fields = (*RECORD_FIELDS, "made_at", "survey", *PHOTO_FIELDS)


class FitDecisionCreateSerializer(StrictSerializer):
    id = ClientIdField()
    survey = VisibleRelatedField(Survey)
    doorset = VisibleRelatedField(Doorset)


class FitDecisionSerializer(serializers.ModelSerializer):
    frame = serializers.SerializerMethodField()
    inputs = FrozenRecordField(FIT_INPUTS)
    answer = FrozenRecordField(DECIDED_FIT)

    class Meta:
        model = FitDecision
        fields = (
            *RECORD_FIELDS,
            "survey",
            "doorset",
            "rule_set",
            "frame",
            "verdict",
            "probability_fits",
            "inputs",
            "answer",
        )

    def get_frame(self, decision: FitDecision) -> dict[str, int]:
        return {"width": decision.frame_width, "height": decision.frame_height}
