"""Bodies and answers of profile systems, doorsets and deliveries."""

from typing import Any

from rest_framework import serializers

from jobs.api.fields import NewIdentity, Quantity, TrueOrFalse, VisibleRecord, WholeQuantity
from jobs.api.serializers import RECORD_FIELDS
from jobs.api.strict import StrictSerializer
from jobs.models import Delivery, Doorset, Opening, ProfileSystem


class ThresholdChoice(StrictSerializer):
    name = serializers.CharField(max_length=60)
    upstand = Quantity("mm", 0, 150)


class OrderChoices(StrictSerializer):
    """What may be ordered with a profile system."""

    colours = serializers.ListField(child=serializers.CharField(max_length=60), min_length=1)
    handles = serializers.ListField(child=serializers.CharField(max_length=60), min_length=1)
    thresholds = ThresholdChoice(many=True, allow_empty=False)
    ventilators = serializers.ListField(child=serializers.CharField(max_length=60))


class ProfileSystemData(StrictSerializer):
    """What leaf sizes, masses and limits follow from."""

    frame_face = Quantity("mm", 10, 300)
    sash_face = Quantity("mm", 10, 300)
    leaf_gap = Quantity("mm", 0, 30)
    glass_edge_cover = Quantity("mm", 0, 50)
    frame_mass_per_metre = Quantity("kg/m", 0.1, 30)
    sash_mass_per_metre = Quantity("kg/m", 0.1, 30)
    hardware_mass_per_leaf = Quantity("kg", 0, 50)
    largest_leaf_width = Quantity("mm", 200, 3000)
    largest_leaf_height = Quantity("mm", 200, 5000)
    largest_leaf_mass = Quantity("kg", 5, 500)
    carrier_adjustment_range = Quantity("mm", 0, 20)
    lift_per_turn = Quantity("mm", 0.1, 10)
    removable_track_end = Quantity("mm", 0, 2000)
    head_fixing = serializers.ListField(
        child=serializers.ChoiceField(choices=Doorset.HeadFixing.choices), min_length=1
    )
    toe_and_heel_device = TrueOrFalse()
    frame_u = Quantity("W/(m2 K)", 0.1, 10)
    psi = Quantity("W/(m K)", 0, 1)
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


class ProfileSystemChange(ProfileSystemData):
    name = serializers.CharField(max_length=80)
    material = serializers.ChoiceField(choices=ProfileSystem.Material.choices, required=False)
    choices = OrderChoices()


class NewProfileSystem(ProfileSystemChange):
    id = NewIdentity()


class ProfileSystemAnswer(serializers.ModelSerializer):
    class Meta:
        model = ProfileSystem
        fields = (*RECORD_FIELDS, "name", "material", *ProfileSystemData().fields, "choices")


class GlazingLayer(StrictSerializer):
    """A pane (`glass`, and what it is) or a cavity (`cavity`, and its gas), outside first."""

    glass = Quantity("mm", 2, 60, required=False)
    safety = serializers.ChoiceField(choices=("toughened", "laminated", "none"), required=False)
    emissivity = Quantity("(no unit)", 0.01, 1, required=False)
    coated_face = serializers.ChoiceField(choices=("outward", "inward"), required=False)
    cavity = Quantity("mm", 2, 60, required=False)
    gas = serializers.DictField(
        child=Quantity("share of the gas", 0, 1), required=False, allow_empty=False
    )

    def validate(self, layer: dict[str, Any]) -> dict[str, Any]:
        if ("glass" in layer) == ("cavity" in layer):
            raise serializers.ValidationError("a layer has either glass or cavity, in mm")
        of_pane, of_cavity = {"safety", "emissivity", "coated_face"}, {"gas"}
        stray = set(layer) & (of_cavity if "glass" in layer else of_pane)
        if stray:
            kind = "a pane" if "glass" in layer else "a cavity"
            raise serializers.ValidationError({n: [f"{kind} has no such field"] for n in stray})
        return layer


class Glazing(StrictSerializer):
    layers = serializers.ListField(child=GlazingLayer(), min_length=1, max_length=7)
    u_glass = Quantity("W/(m2 K)", 0.1, 7, required=False, allow_null=True)


class FrameSize(StrictSerializer):
    width = WholeQuantity("mm", 300, 20000)
    height = WholeQuantity("mm", 300, 6000)


class DoorsetOrder(StrictSerializer):
    """What is to be ordered; `fold` is leaves-left-right seen from outside, such as `5-3-2`."""

    profile_system = VisibleRecord(ProfileSystem)
    fold = serializers.CharField(max_length=9)
    opens = serializers.ChoiceField(choices=Doorset.Opens.choices)
    frame = FrameSize()
    glazing = Glazing()
    head_fixing = serializers.ChoiceField(choices=Doorset.HeadFixing.choices)
    colour_inside = serializers.CharField(max_length=60)
    colour_outside = serializers.CharField(max_length=60)
    handle = serializers.CharField(max_length=60)
    threshold = serializers.CharField(max_length=60)
    ventilator = serializers.CharField(max_length=60, required=False)
    keyed_alike = TrueOrFalse(required=False)


class NewDoorset(DoorsetOrder):
    id = NewIdentity()
    opening = VisibleRecord(Opening)


class DoorsetAnswer(serializers.ModelSerializer):
    fold = serializers.CharField()
    frame = serializers.SerializerMethodField()

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
            "calculation",
            "ordered_at",
            "superseded_at",
        )

    def get_frame(self, doorset: Doorset) -> dict[str, int]:
        return {"width": doorset.frame_width, "height": doorset.frame_height}


class NewDelivery(StrictSerializer):
    id = NewIdentity()
    doorset = VisibleRecord(Doorset)
    delivered_on = serializers.DateField()
    frame = FrameSize()
    leaves_counted = serializers.IntegerField(min_value=0, max_value=40)
    accepted = TrueOrFalse()
    damage = serializers.CharField(max_length=500, required=False)


class DeliveryAnswer(serializers.ModelSerializer):
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
        )

    def get_frame(self, delivery: Delivery) -> dict[str, int]:
        return {"width": delivery.frame_width, "height": delivery.frame_height}
