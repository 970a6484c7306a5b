"""The calculations of the fitting that need no record: fixing layout and conformity."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, fields
from typing import Any

from django.utils.translation import gettext_lazy
from drf_spectacular.utils import extend_schema
from rest_framework import serializers

from installs.arithmetic.bed_joints import bed_joint_stretches
from installs.arithmetic.conformity import (
    Workmanship,
    judge_conformity,
    judge_with_workmanship,
)
from installs.arithmetic.members import (
    CAUTIONS,
    SOURCES,
    FixingRules,
    JointPoint,
    Member,
    MemberLayout,
)
from installs.arithmetic.packers import PackerRules, make_up_packers
from installs.services.planning import fixing_rules, packer_rules
from jobs.api.calculation import CalculationView, rules_named
from jobs.api.fields import IntegerQuantityField, QuantityField
from jobs.api.strict import StrictSerializer
from jobs.rules import Rules

MOST_MEMBERS = 8
MOST_STRETCHES = 60
LARGEST = 1e9


def stretches() -> serializers.ListField:
    """Pairs [start, end] in mm from the member's left or foot end."""
    pair = serializers.ListField(child=QuantityField("mm", 0, 20000), min_length=2, max_length=2)
    return serializers.ListField(child=pair, max_length=MOST_STRETCHES, required=False)


class MemberSerializer(StrictSerializer):
    """`bed_joint_datum`: for a jamb in brick, the height of the middle of any one bed joint."""

    name = serializers.CharField(max_length=40)
    length = QuantityField("mm", 100, 20000)
    kept_out = stretches()
    reachable = stretches()
    bed_joint_datum = QuantityField("mm", 0, 20000, required=False)


class FixingRulesSerializer(StrictSerializer):
    """What is not given comes from the rule set."""

    end_min = QuantityField("mm", 0, 5000, required=False)
    end_max = QuantityField("mm", 0, 5000, required=False)
    max_centres = QuantityField("mm", 200, 5000, required=False)
    min_fixings = IntegerQuantityField("fixings", 1, 50, required=False)
    clear_of = QuantityField("mm", 0, 1000, required=False)
    one_fixing_up_to = QuantityField("mm", 0, 5000, required=False)
    least_apart = QuantityField("mm", 1, 5000, required=False)


class JointPointSerializer(StrictSerializer):
    member = serializers.CharField(max_length=40)
    at = QuantityField("mm", -1000, 20000)
    width = QuantityField("mm", -100, 50)


class FixingLayoutSerializer(StrictSerializer):
    """`joint_profile` is that of an answer of opening-fit; with it come packers."""

    members = serializers.ListField(child=MemberSerializer(), min_length=1, max_length=MOST_MEMBERS)
    rules = FixingRulesSerializer(required=False)
    joint_profile = serializers.ListField(
        child=JointPointSerializer(), max_length=200, required=False
    )
    packer_thicknesses = serializers.ListField(
        child=QuantityField("mm", 0.5, 50), min_length=1, max_length=10, required=False
    )
    rule_set = serializers.CharField(max_length=60, required=False)


class FixingLayoutCalculationView(CalculationView):
    """Where the fixings of frame members go, and the packers beside each."""

    body_serializer = FixingLayoutSerializer

    @extend_schema(request=FixingLayoutSerializer, responses={200: dict})
    def post(self, *args: Any, **kwargs: Any) -> Any:
        return super().post(*args, **kwargs)

    def work_out(self, body: dict[str, Any]) -> dict[str, Any]:
        # Loaded here: most processes never ask for this, and numpy is slow to load.
        from installs.arithmetic.fixing_layout import lay_out_fixings  # noqa: PLC0415

        rules = rules_named(body.get("rule_set"))
        used = _fixing_rules(rules, body.get("rules", {}))
        members = [_member(member, rules) for member in body["members"]]
        joints = _joints(body.get("joint_profile", []))
        packers = packer_rules(rules)
        if "packer_thicknesses" in body:
            packers = PackerRules(tuple(body["packer_thicknesses"]), packers.shortfall)
        answer = {
            "members": [
                asdict(layout) | {"packers": _packers(layout, joints.get(layout.name), packers)}
                for layout in lay_out_fixings(members, used)
            ],
            "rules": asdict(used),
            "sources": [*SOURCES, *_sources(rules)],
            "cautions": CAUTIONS,
        }
        return rules.signed(answer)


class WorkmanshipSerializer(StrictSerializer):
    """The firm's earlier work of this kind: the mean of its values, and their standard deviation
    less what measuring added to it."""

    mean = QuantityField(gettext_lazy("(any unit)"), -LARGEST, LARGEST)
    standard_deviation = QuantityField(gettext_lazy("(any unit)"), 0, LARGEST)

    def validate(self, attrs: Any) -> Any:
        return Workmanship(**attrs)


class ConformitySerializer(StrictSerializer):
    """All in one unit. Either limit may be missing, not both. `workmanship` is weighed with what
    was measured; leave it out for what can hurt somebody."""

    measured = QuantityField(gettext_lazy("(any unit)"), -LARGEST, LARGEST)
    standard_uncertainty = QuantityField(gettext_lazy("(any unit)"), 0, LARGEST)
    lower = QuantityField(
        gettext_lazy("(any unit)"), -LARGEST, LARGEST, required=False, allow_null=True
    )
    upper = QuantityField(
        gettext_lazy("(any unit)"), -LARGEST, LARGEST, required=False, allow_null=True
    )
    confidence = QuantityField("probability", 0, 1, required=False)
    workmanship = WorkmanshipSerializer(required=False)
    rule_set = serializers.CharField(max_length=60, required=False)


class ConformityCalculationView(CalculationView):
    """Whether a measured value conforms to its limits, given how well it is known."""

    body_serializer = ConformitySerializer

    @extend_schema(request=ConformitySerializer, responses={200: dict})
    def post(self, *args: Any, **kwargs: Any) -> Any:
        return super().post(*args, **kwargs)

    def work_out(self, body: dict[str, Any]) -> dict[str, Any]:
        rules = rules_named(body.get("rule_set"))
        question = (
            body["measured"],
            body["standard_uncertainty"],
            body.get("lower"),
            body.get("upper"),
            body.get("confidence", rules["decision.confidence"]),
        )
        if workmanship := body.get("workmanship"):
            return rules.signed(asdict(judge_with_workmanship(*question, workmanship=workmanship)))
        return rules.signed(asdict(judge_conformity(*question)))


def _fixing_rules(rules: Rules, given: Mapping[str, Any]) -> FixingRules:
    return FixingRules(**asdict(fixing_rules(rules)) | dict(given))


def _member(body: Mapping[str, Any], rules: Rules) -> Member:
    kept_out = [(start, end) for start, end in body.get("kept_out", [])]
    if "bed_joint_datum" in body:
        kept_out += bed_joint_stretches(
            body["length"],
            datum=body["bed_joint_datum"],
            course=rules["brick.course"],
            joint=rules["brick.joint"],
        )
    reachable = body.get("reachable")
    return Member(
        body["name"],
        body["length"],
        tuple(kept_out),
        None if reachable is None else tuple((start, end) for start, end in reachable),
    )


def _joints(profile: Sequence[Mapping[str, Any]]) -> dict[str, list[JointPoint]]:
    joints: dict[str, list[JointPoint]] = {}
    for point in profile:
        joints.setdefault(point["member"], []).append(JointPoint(point["at"], point["width"]))
    return joints


def _packers(
    layout: MemberLayout, joints: Sequence[JointPoint] | None, rules: PackerRules
) -> list[dict[str, Any]] | None:
    """A stack for every position; None where the joint of the member was not given."""
    from installs.arithmetic.frame_plan import joint_width_at  # noqa: PLC0415 as above

    if not joints:
        return None
    widths = [joint_width_at(position, joints) for position in layout.positions or ()]
    return [
        asdict(make_up_packers(width, rules.thicknesses, rules.shortfall))
        for width in widths
        if width is not None
    ]


def _sources(rules: Rules) -> list[str]:
    named = {"one_fixing_up_to": "one_up_to"}
    words = [named.get(field.name, field.name) for field in fields(FixingRules)]
    return [f"{word}: {rules.source(f'fixing.{word}')}" for word in words]
