"""Bodies and answers of the register of beads, of the running gear and of fixings as made."""

from django.utils.translation import gettext_lazy
from rest_framework import serializers

from installs.api.serializers import SITE_FIELDS, SiteRecordSerializer
from installs.models import Bead, CarrierLift, Installation, PackerChange
from jobs.api.fields import ClientIdField, IntegerQuantityField, QuantityField, VisibleRelatedField
from jobs.api.strict import StrictSerializer


class BeadPlaceSerializer(StrictSerializer):
    """Where a bead goes back: only where it came from."""

    leaf = IntegerQuantityField(gettext_lazy("(number of a sash, from the left)"), 1, 20)
    side = serializers.ChoiceField(choices=Bead.Side.choices)


class BeadCreateSerializer(BeadPlaceSerializer):
    id = ClientIdField()
    installation = VisibleRelatedField(Installation)
    number = serializers.CharField(max_length=12, help_text="What is written on the bead.")


class BeadSerializer(SiteRecordSerializer):
    class Meta:
        model = Bead
        fields = (
            *SITE_FIELDS,
            "installation",
            "number",
            "leaf",
            "side",
            "taken_off_by",
            "put_back_by",
            "put_back_at",
        )


class CarrierLiftCreateSerializer(StrictSerializer):
    id = ClientIdField()
    installation = VisibleRelatedField(Installation)
    junction = IntegerQuantityField(
        gettext_lazy("(number of a junction, 0 at the left jamb)"), 0, 20
    )
    chain = serializers.ChoiceField(
        choices=("left", "right"), help_text="The jamb that the carrier's chain hangs on."
    )
    turns = QuantityField(gettext_lazy("turns, up positive"), -50, 50)


class CarrierLiftSerializer(SiteRecordSerializer):
    class Meta:
        model = CarrierLift
        fields = (*SITE_FIELDS, "installation", "junction", "chain", "turns", "lift", "fitter")


def pieces() -> serializers.ListField:
    piece = QuantityField("mm", 0.5, 50)
    return serializers.ListField(child=piece, max_length=8, default=list)


class PackerChangeCreateSerializer(StrictSerializer):
    id = ClientIdField()
    installation = VisibleRelatedField(Installation)
    member = serializers.ChoiceField(choices=PackerChange.Member.choices)
    position = QuantityField("mm", 0, 20000)
    added = pieces()
    taken = pieces()


class PackerChangeSerializer(SiteRecordSerializer):
    change = serializers.FloatField(read_only=True, help_text="mm by which the stack grew.")

    class Meta:
        model = PackerChange
        fields = (
            *SITE_FIELDS,
            "installation",
            "member",
            "position",
            "added",
            "taken",
            "change",
            "fitter",
        )


class OtherPackersSerializer(serializers.Serializer):
    """mm"""

    position = serializers.FloatField()
    planned = serializers.FloatField()
    used = serializers.FloatField()


class AsFixedSerializer(serializers.Serializer):
    """A member's fixings as made against its plan, mm from its left or foot end."""

    member = serializers.CharField()
    planned = serializers.IntegerField()
    mechanical = serializers.IntegerField()
    foam_only = serializers.ListField(child=serializers.FloatField())
    missing = serializers.ListField(child=serializers.FloatField())
    added = serializers.ListField(child=serializers.FloatField())
    moved = serializers.ListField(
        child=serializers.ListField(child=serializers.FloatField()),
        help_text="Pairs of planned and fixed place.",
    )
    packers = OtherPackersSerializer(many=True)
