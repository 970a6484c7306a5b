"""Bodies and answers of profile systems, doorsets and deliveries."""

from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from rest_framework import serializers

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
from jobs.calculations import DOORSET_CALCULATION
from jobs.models import Delivery, Doorset, Opening, ProfileSystem


class ThresholdChoiceSerializer(StrictSerializer):
    name = serializers.CharField(max_length=60)
    upstand = QuantityField("mm", 0, 150)


class OrderChoicesSerializer(StrictSerializer):
    """What may be ordered with a profile system."""

    colours = serializers.ListField(child=serializers.CharField(max_length=60), min_length=1)
    handles = serializers.ListField(child=serializers.CharField(max_length=60), min_length=1)
    thresholds = ThresholdChoiceSerializer(many=True, allow_empty=False)
    ventilators = serializers.ListField(child=serializers.CharField(max_length=60))


class ProfileSystemDataSerializer(StrictSerializer):
    """What leaf sizes, masses and limits follow from."""

    frame_face = QuantityField("mm", 10, 300)
    sash_face = QuantityField("mm", 10, 300)
    leaf_gap = QuantityField("mm", 0, 30)
    glass_edge_cover = QuantityField("mm", 0, 50)
    frame_mass_per_metre = QuantityField("kg/m", 0.1, 30)
    sash_mass_per_metre = QuantityField("kg/m", 0.1, 30)
    hardware_mass_per_leaf = QuantityField("kg", 0, 50)
    largest_leaf_width = QuantityField("mm", 200, 3000)
    largest_leaf_height = QuantityField("mm", 200, 5000)
    largest_leaf_mass = QuantityField("kg", 5, 500)
    carrier_adjustment_range = QuantityField("mm", 0, 20)
    lift_per_turn = QuantityField("mm", 0.1, 10)
    removable_track_end = QuantityField("mm", 0, 2000)
    head_fixing = serializers.ListField(
        child=serializers.ChoiceField(choices=Doorset.HeadFixing.choices), min_length=1
    )
    toe_and_heel_device = StrictBooleanField()
    frame_u = QuantityField("W/(m2 K)", 0.1, 10)
    psi = QuantityField("W/(m K)", 0, 1)
    sashes = serializers.ChoiceField(
        choices=ProfileSystem.Sashes.choices,
        required=False,
        help_text="How sashes come; hung where a new system or a calculation says nothing.",
    )
    glass = serializers.ChoiceField(
        choices=ProfileSystem.Glass.choices,
        required=False,
        help_text="How glass comes; loose where a new system or a calculation says nothing.",
    )
    frame_depth = QuantityField(
        "mm",
        20,
        400,
        required=False,
        allow_null=True,
        help_text="mm, 20 to 400, through the wall; what a lift, a way in and a tilt go by.",
    )


class ProfileSystemUpdateSerializer(ProfileSystemDataSerializer):
    name = serializers.CharField(max_length=80)
    material = serializers.ChoiceField(choices=ProfileSystem.Material.choices, required=False)
    reinforced = StrictBooleanField(
        required=False, help_text="Whether steel is inside profiles of PVC-U, which then move less."
    )
    choices = OrderChoicesSerializer()


class ProfileSystemCreateSerializer(ProfileSystemUpdateSerializer):
    id = ClientIdField()


class ProfileSystemSerializer(serializers.ModelSerializer):
    class Meta:
        model = ProfileSystem
        fields = (
            *RECORD_FIELDS,
            "name",
            "material",
            "reinforced",
            *ProfileSystemDataSerializer().fields,
            "choices",
        )


class GlazingLayerSerializer(StrictSerializer):
    """A pane (`glass`, and what it is) or a cavity (`cavity`, and its gas), outside first."""

    glass = QuantityField("mm", 2, 60, required=False)
    safety = serializers.ChoiceField(choices=("toughened", "laminated", "none"), required=False)
    emissivity = QuantityField(
        gettext_lazy("(no unit)"),
        0.01,
        1,
        required=False,
        help_text="The normal emissivity of the coated face, as data sheets give it; it is "
        "corrected by EN 12898. Left out for bare glass, whose 0.89 is 0.837 corrected.",
    )
    coated_face = serializers.ChoiceField(choices=("outward", "inward"), required=False)
    cavity = QuantityField("mm", 2, 60, required=False)
    gas = serializers.DictField(
        child=QuantityField(gettext_lazy("share of the gas"), 0, 1),
        required=False,
        allow_empty=False,
    )

    def validate(self, layer: dict[str, Any]) -> dict[str, Any]:
        if ("glass" in layer) == ("cavity" in layer):
            raise serializers.ValidationError(_("a layer has either glass or cavity, in mm"))
        of_pane, of_cavity = {"safety", "emissivity", "coated_face"}, {"gas"}
        stray = set(layer) & (of_cavity if "glass" in layer else of_pane)
        if stray:
            message = (
                _("a pane has no such field")
                if "glass" in layer
                else _("a cavity has no such field")
            )
            raise serializers.ValidationError({name: [message] for name in stray})
        return layer


class GlazingSerializer(StrictSerializer):
    layers = serializers.ListField(child=GlazingLayerSerializer(), min_length=1, max_length=7)
    u_glass = QuantityField("W/(m2 K)", 0.1, 7, required=False, allow_null=True)


class FrameSizeSerializer(StrictSerializer):
    width = IntegerQuantityField("mm", 300, 20000)
    height = IntegerQuantityField("mm", 300, 6000)


class DoorsetOrderSerializer(StrictSerializer):
    """What is to be ordered; `fold` is leaves-left-right seen from outside, such as `5-3-2`."""

    profile_system = VisibleRelatedField(ProfileSystem)
    fold = serializers.CharField(max_length=9)
    opens = serializers.ChoiceField(choices=Doorset.Opens.choices)
    frame = FrameSizeSerializer()
    glazing = GlazingSerializer()
    head_fixing = serializers.ChoiceField(choices=Doorset.HeadFixing.choices)
    colour_inside = serializers.CharField(max_length=60)
    colour_outside = serializers.CharField(max_length=60)
    handle = serializers.CharField(max_length=60)
    threshold = serializers.CharField(max_length=60)
    ventilator = serializers.CharField(max_length=60, required=False)
    keyed_alike = StrictBooleanField(required=False)
    energy_band = serializers.ChoiceField(
        choices=Doorset.EnergyBand.choices,
        required=False,
        allow_blank=True,
        help_text="Of the doorset's energy rating, as its maker declares it.",
    )
    security_evidence = serializers.CharField(
        max_length=120,
        required=False,
        allow_blank=True,
        help_text="What shows that it resists burglars, as its maker declares it.",
    )


class DoorsetCreateSerializer(DoorsetOrderSerializer):
    id = ClientIdField()
    opening = VisibleRelatedField(Opening)


class DoorsetSerializer(serializers.ModelSerializer):
    fold = serializers.CharField()
    frame = serializers.SerializerMethodField()
    calculation = FrozenRecordField(DOORSET_CALCULATION)

    class Meta:
        model = Doorset
        fields = (
            *RECORD_FIELDS,
            "opening",
            "revision",
            "fold",
            "opens",
            "frame",
            "profile_system",
            "glazing",
            "head_fixing",
            "colour_inside",
            "colour_outside",
            "handle",
            "threshold",
            "upstand",
            "ventilator",
            "keyed_alike",
            "energy_band",
            "security_evidence",
            "calculation",
            "ordered_at",
            "superseded_at",
        )

    def get_frame(self, doorset: Doorset) -> dict[str, int]:
        return {"width": doorset.frame_width, "height": doorset.frame_height}


class DeliveryCreateSerializer(StrictSerializer):
    id = ClientIdField()
    doorset = VisibleRelatedField(Doorset)
    delivered_on = serializers.DateField()
    frame = FrameSizeSerializer()
    leaves_counted = serializers.IntegerField(min_value=0, max_value=40)
    accepted = StrictBooleanField()
    damage = serializers.CharField(max_length=500, required=False)
    declaration = serializers.CharField(
        max_length=120,
        required=False,
        help_text="Number of the declaration of performance, and the mark on the label.",
    )


class DeliverySerializer(serializers.ModelSerializer):
    frame = serializers.SerializerMethodField()

    class Meta:
        model = Delivery
        fields = (
            *RECORD_FIELDS,
            "doorset",
            "delivered_on",
            "frame",
            "leaves_counted",
            "accepted",
            "damage",
            "declaration",
        )

    def get_frame(self, delivery: Delivery) -> dict[str, int]:
        return {"width": delivery.frame_width, "height": delivery.frame_height}
