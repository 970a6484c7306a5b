"""The readings of an opening and the instruments they are taken with, as `opening-fit` has them."""

from typing import Any

from django.utils.translation import gettext as _
from rest_framework import serializers

from jobs.api.fields import QuantityField, StrictBooleanField
from jobs.api.strict import StrictSerializer
from jobs.code_labels import code_label
from jobs.sentences import sentence
from surveys.api.conditions import SidesSerializer
from surveys.arithmetic.fit_request import GREATEST_CONFIDENCE, LEAST_CONFIDENCE
from surveys.arithmetic.readings import GREATEST_HUMP, SIDES
from surveys.models import Instrument

MOST_READINGS = 40
SURFACES = ("masonry", "plaster", "timber", "steel", "concrete", "unknown")


class PlacedSizeSerializer(StrictSerializer):
    at = QuantityField("mm", 0, 20000)
    value = QuantityField("mm", 300, 20000)


class PlacedOffsetSerializer(StrictSerializer):
    at = QuantityField("mm", 0, 20000)
    value = QuantityField("mm", -500, 500)


def sizes() -> serializers.ListField:
    return serializers.ListField(
        child=PlacedSizeSerializer(), min_length=2, max_length=MOST_READINGS
    )


def offsets() -> serializers.ListField:
    return serializers.ListField(
        child=PlacedOffsetSerializer(), max_length=MOST_READINGS, required=False
    )


class DiagonalsSerializer(StrictSerializer):
    rising = QuantityField("mm", 300, 30000)
    falling = QuantityField("mm", 300, 30000)


class PlumbSerializer(StrictSerializer):
    left = offsets()
    right = offsets()


class OpeningReadingsSerializer(StrictSerializer):
    """Seen from outside. `at` of a width or plumb reading: height above the sill; of a height or a
    level: distance from the left jamb. Two widths, two heights and both diagonals at the least."""

    widths = sizes()
    heights = sizes()
    diagonals = DiagonalsSerializer()
    sill_levels = offsets()
    head_levels = offsets()
    plumb = PlumbSerializer(required=False)


class StraightedgeSerializer(StrictSerializer):
    """Laid along a whole side with equal gaps at both ends. `hump`: how far the wall stands into
    the opening beyond the line through the ends; 0 where it nowhere does."""

    side = serializers.ChoiceField(choices=SIDES)
    hump = QuantityField("mm", 0, GREATEST_HUMP)


class SplaySerializer(StrictSerializer):
    """`value`: how much further the inside edge of the frame's depth stands into the opening than
    the outside edge; `at` as for a plumb or level reading of that side."""

    side = serializers.ChoiceField(choices=SIDES)
    at = QuantityField("mm", 0, 20000)
    value = QuantityField("mm", -200, 200)


class KnownLengthSerializer(StrictSerializer):
    """A rule of known length and what the instrument of the survey reads of it."""

    length = QuantityField("mm", 300, 20000)
    value = QuantityField("mm", 300, 20000)


def listed(child: type[StrictSerializer]) -> serializers.ListField:
    return serializers.ListField(child=child(), max_length=MOST_READINGS, required=False)


class ChecksSerializer(StrictSerializer):
    """Sizes read again with `check_instrument`, and known lengths read with `instrument`."""

    widths = listed(PlacedSizeSerializer)
    heights = listed(PlacedSizeSerializer)
    known_lengths = listed(KnownLengthSerializer)


class HigherEndSerializer(StrictSerializer):
    """Which end is seen to be higher."""

    sill = serializers.ChoiceField(
        choices=("left", "right", "level"), required=False, allow_null=True
    )
    head = serializers.ChoiceField(
        choices=("left", "right", "level"), required=False, allow_null=True
    )


class SurfacesSerializer(StrictSerializer):
    """What each side is made of where the frame comes; `unknown` where it is left out."""

    left = serializers.ChoiceField(choices=SURFACES, required=False)
    right = serializers.ChoiceField(choices=SURFACES, required=False)
    head = serializers.ChoiceField(choices=SURFACES, required=False)
    sill = serializers.ChoiceField(choices=SURFACES, required=False)


class OpeningToFitSerializer(OpeningReadingsSerializer):
    """Beside sizes, levels and plumb, all at the outside face: what tells of walls that are not
    straight, of reveals that are not square, and of an error that all readings share."""

    straightedge = listed(StraightedgeSerializer)
    splay = listed(SplaySerializer)
    checks = ChecksSerializer(required=False)
    higher_end = HigherEndSerializer(required=False)


class InstrumentFactsSerializer(StrictSerializer):
    """A tape is as good as its class, a laser or level as its expanded uncertainty."""

    kind = serializers.ChoiceField(choices=Instrument.Kind.choices)
    accuracy_class = serializers.ChoiceField(choices=("I", "II", "III"), required=False)
    from_end_hook = StrictBooleanField(required=False)
    expanded_uncertainty = QuantityField("mm", 0.01, 50, required=False)
    coverage_factor = QuantityField(sentence("(no unit)"), 1, 4, required=False)

    OF_TAPE = frozenset({"accuracy_class"})
    OF_OTHERS = frozenset({"expanded_uncertainty", "coverage_factor"})

    def validate(self, body: dict[str, Any]) -> dict[str, Any]:
        tape = body["kind"] == Instrument.Kind.TAPE
        needed, stray = (self.OF_TAPE, self.OF_OTHERS) if tape else (self.OF_OTHERS, self.OF_TAPE)
        errors = {
            n: [_("required for a {kind}").format(kind=code_label(body["kind"]))]
            for n in needed
            if n not in body
        }
        errors |= {
            n: [_("a {kind} has no such figure").format(kind=code_label(body["kind"]))]
            for n in stray
            if n in body
        }
        if errors:
            raise serializers.ValidationError(errors)
        return body


class FrameToFitSerializer(StrictSerializer):
    width = QuantityField("mm", 300, 20000)
    height = QuantityField("mm", 300, 6000)


class OpeningFitSerializer(StrictSerializer):
    opening = OpeningToFitSerializer()
    surfaces = SurfacesSerializer(required=False)
    instrument = InstrumentFactsSerializer()
    level_instrument = InstrumentFactsSerializer(required=False, allow_null=True)
    check_instrument = InstrumentFactsSerializer(required=False, allow_null=True)
    frame = FrameToFitSerializer()
    clearance = SidesSerializer()
    maximum_joint = QuantityField("mm", 0, 400)
    confidence = QuantityField("probability", LEAST_CONFIDENCE, GREATEST_CONFIDENCE)
    rule_set = serializers.CharField(
        max_length=60, required=False, help_text="Its name; the newest where it is left out."
    )
