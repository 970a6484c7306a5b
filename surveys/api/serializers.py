"""Bodies and answers of instruments, surveys, photos and fit decisions."""

from typing import Any

from rest_framework import serializers

from jobs.api.fields import NewIdentity, Quantity, VisibleRecord
from jobs.api.serializers import RECORD_FIELDS
from jobs.api.strict import StrictSerializer
from jobs.models import Doorset, Opening, Visit
from surveys.api.conditions import Conditions
from surveys.api.opening_serializers import InstrumentBody, OpeningReadings
from surveys.models import FitDecision, Instrument, Photo, Survey
from surveys.services.readings import readings_json

PHOTO_FIELDS = ("width", "height", "sha256", "caption")


class NewInstrument(InstrumentBody):
    id = NewIdentity()
    name = serializers.CharField(max_length=80)
    serial = serializers.CharField(max_length=60)
    calibration_due = serializers.DateField()


class InstrumentChange(StrictSerializer):
    name = serializers.CharField(max_length=80)
    calibration_due = serializers.DateField()
    expanded_uncertainty = Quantity("mm", 0.01, 50)
    coverage_factor = Quantity("(no unit)", 1, 4)


class InstrumentAnswer(serializers.ModelSerializer):
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
            "calibration_due",
        )


class NewSurvey(StrictSerializer):
    id = NewIdentity()
    opening = VisibleRecord(Opening)
    visit = VisibleRecord(Visit)
    stage = serializers.ChoiceField(choices=Survey.Stage.choices)
    taken_at = serializers.DateTimeField()
    instrument = VisibleRecord(Instrument)
    level_instrument = VisibleRecord(Instrument, required=False, allow_null=True)
    readings = OpeningReadings()
    conditions = Conditions()


class SurveyAnswer(serializers.ModelSerializer):
    readings = serializers.SerializerMethodField()

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
            "readings",
            "conditions",
            "assessment",
            "accepted_at",
        )

    def get_readings(self, survey: Survey) -> dict[str, Any]:
        return readings_json(survey)


class NewPhoto(StrictSerializer):
    id = NewIdentity()
    image = serializers.FileField(help_text="JPEG, PNG or HEIC.")
    caption = serializers.CharField(max_length=160, required=False)


class PhotoAnswer(serializers.ModelSerializer):
    class Meta:
        model = Photo
        fields = (*RECORD_FIELDS, "survey", *PHOTO_FIELDS)


class NewFitDecision(StrictSerializer):
    id = NewIdentity()
    survey = VisibleRecord(Survey)
    doorset = VisibleRecord(Doorset)


class FitDecisionAnswer(serializers.ModelSerializer):
    frame = serializers.SerializerMethodField()

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
