"""The calculations of the work on site that need no record: lift and joint."""

from dataclasses import asdict
from typing import Any, get_args

from django.utils.translation import gettext as _
from drf_spectacular.utils import extend_schema
from rest_framework import serializers

from installs.arithmetic.holding import SOURCE as HOLD_SOURCE
from installs.arithmetic.joint_movement import JointRequest, judge_joint
from installs.arithmetic.lift import ZONES, LiftRequest, Reach, plan_lift
from installs.services.calculation_rules import joint_rules, lift_rules
from installs.services.carrying import carrying
from jobs.api.calculation import CalculationView, rules_named
from jobs.api.fields import IntegerQuantityField, QuantityField, StrictBooleanField
from jobs.api.strict import StrictSerializer
from jobs.figures import number
from surveys.api.conditions import WayInSerializer

SEALANT_CLASSES = ("7.5", "12.5", "20", "25")


class LiftedFrameSerializer(StrictSerializer):
    """The frame, sash or pane that is lifted, upright on its longer edge. `filling`: how much of
    its mass lies between its edges, such as panes or sashes that hang in it; all of it where it is
    not given. `head_joint` and `sill_joint`: the least joints that it leaves in its opening."""

    width = QuantityField("mm", 100, 20000)
    height = QuantityField("mm", 100, 6000)
    depth = QuantityField("mm", 1, 400, required=False)
    filling = QuantityField("kg", 0, 5000, required=False)
    head_joint = QuantityField("mm", 0, 300, required=False)
    sill_joint = QuantityField("mm", 0, 300, required=False)


class LiftSerializer(StrictSerializer):
    """`position`: the zone of the hands where they take hold, close to waist height where it is
    not given; `set_down`: where they let go. `women`: how many of the people are women. With
    `frame` the answer says where to hold it (`held`) and the room to tilt it in (`tilt`); with
    `access` too, whether it passes the way in."""

    mass = QuantityField("kg", 0.1, 5000)
    people = IntegerQuantityField("people", 1, 20)
    position = serializers.ChoiceField(choices=ZONES, required=False)
    set_down = serializers.ChoiceField(choices=ZONES, required=False)
    reach = serializers.ChoiceField(choices=get_args(Reach), required=False)
    women = IntegerQuantityField("people", 0, 20, required=False)
    frame = LiftedFrameSerializer(required=False)
    access = WayInSerializer(required=False)
    rule_set = serializers.CharField(max_length=60, required=False)

    def validate(self, body: dict[str, Any]) -> dict[str, Any]:
        if "access" in body and "frame" not in body:
            message = _("a way in is judged for a size: give width and height of the frame")
            raise serializers.ValidationError({"frame": [message]})
        if body.get("frame", {}).get("filling", 0) > body["mass"]:
            message = _("more than the whole mass; give at most {mass} kg")
            text = message.format(mass=number(body["mass"]))
            raise serializers.ValidationError({"frame": {"filling": [text]}})
        return body


class LiftCalculationView(CalculationView):
    """Whether a team may lift a mass by the guideline; a filter, never a certificate."""

    body_serializer = LiftSerializer

    @extend_schema(request=LiftSerializer, responses={200: dict})
    def post(self, *args: Any, **kwargs: Any) -> Any:
        return super().post(*args, **kwargs)

    def work_out(self, body: dict[str, Any]) -> dict[str, Any]:
        rules = rules_named(body.pop("rule_set", None))
        frame, access = body.pop("frame", None), body.pop("access", None)
        request = LiftRequest(**body)
        answer = asdict(plan_lift(request, lift_rules(rules)))
        if frame:
            answer["sources"] = (*answer["sources"], HOLD_SOURCE)
        return rules.signed(answer | asdict(carrying(request, frame, access, rules)))


class JointSerializer(StrictSerializer):
    """`temperature_range`: warmest less coldest; without it the change of length that frames of the
    material and colour are known for. `installation_temperature`: of the frame while it is sealed;
    without it all of the movement may still come, either way. `white` only counts for PVC-U: its
    colour decides how warm it gets, and the guidance goes by it. `wall`: what the sealant holds to
    on the other side of the joint. `free_ends`: how many ends of the member can move, 2 where it
    is not said. The guidance goes by `opening_width`, by default the length of the member."""

    member_length = QuantityField("mm", 100, 20000)
    material = serializers.ChoiceField(choices=("aluminium", "pvc-u", "timber"))
    temperature_range = QuantityField("K", 0, 150, required=False)
    installation_temperature = QuantityField("°C", -30, 80, required=False)
    sealant_class = serializers.ChoiceField(choices=SEALANT_CLASSES)
    joint_width = QuantityField("mm", 0, 100)
    white = StrictBooleanField(required=False)
    wall = serializers.ChoiceField(choices=("porous", "smooth"), required=False)
    free_ends = serializers.ChoiceField(choices=(1, 2), required=False)
    opening_width = QuantityField("mm", 300, 20000, required=False)
    rule_set = serializers.CharField(max_length=60, required=False)

    def validate(self, body: dict[str, Any]) -> dict[str, Any]:
        if "white" in body and body["material"] != "pvc-u":
            raise serializers.ValidationError({"white": [_("the colour only counts for pvc-u")]})
        return body


class JointCalculationView(CalculationView):
    """How wide a joint must be for the movement of its member, and what the guidance asks for."""

    body_serializer = JointSerializer

    @extend_schema(request=JointSerializer, responses={200: dict})
    def post(self, *args: Any, **kwargs: Any) -> Any:
        return super().post(*args, **kwargs)

    def work_out(self, body: dict[str, Any]) -> dict[str, Any]:
        rules = rules_named(body.pop("rule_set", None))
        sealant, white = float(body.pop("sealant_class")), body.pop("white", False)
        if body["material"] == "pvc-u":
            body["material"] = "pvc_u_white" if white else "pvc_u_coloured"
        known = {"temperature_range": None} | body
        request = JointRequest(movement_accommodation=sealant, **known)
        return rules.signed(asdict(judge_joint(request, joint_rules(rules))))
