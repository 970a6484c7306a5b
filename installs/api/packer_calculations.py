"""The calculation that says which packers of a frame member to add or take out where."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, replace
from typing import Any, get_args

from drf_spectacular.utils import extend_schema
from rest_framework import serializers

from installs.arithmetic.packed_members import (
    FrameReading,
    FrameSize,
    MemberLimits,
    MemberName,
    PackedFixing,
    PackedMember,
    PackersChange,
    ReadingKind,
)
from installs.arithmetic.packer_words import CAUTIONS, SOURCES, act_in_words
from installs.services.calculation_rules import (
    advice_rules,
    member_limit_sources,
    member_limits,
)
from jobs.api.calculation import CalculationView, rules_named
from jobs.api.fields import IntegerQuantityField, QuantityField, StrictBooleanField
from jobs.api.strict import StrictSerializer
from jobs.rules import Rules

MOST_FIXINGS, MOST_READINGS, MOST_CHANGES, MOST_PIECES = 20, 200, 60, 8


class PackedFixingSerializer(StrictSerializer):
    """`packers`: the pieces there now, left out where nobody knows. `packed`: they hold the member
    already. Both `packed` and `reachable` are true where they are not given."""

    at = QuantityField("mm", 0, 20000)
    packers = serializers.ListField(
        child=QuantityField("mm", 0.5, 50), max_length=MOST_PIECES, required=False
    )
    packed = StrictBooleanField(required=False)
    reachable = StrictBooleanField(required=False)


class FrameReadingSerializer(StrictSerializer):
    """`plumb`: how much further the head of a jamb stands into the opening than its foot. `level`:
    height at a place of head or sill, above any datum. `bow`: how far the member stands into the
    opening beyond the straight line through its ends. `diagonal`: the rising diagonal (bottom left
    to top right, seen from outside) less the falling one. Level and bow have a place.

    `expanded_uncertainty` has a coverage factor of 2. `changes_before`: how many of the `changes`
    had been made when it was read, all of them where it is not given."""

    kind = serializers.ChoiceField(choices=get_args(ReadingKind))
    at = QuantityField("mm", 0, 20000, required=False)
    value = QuantityField("mm", -100, 100)
    expanded_uncertainty = QuantityField("mm", 0.01, 20)
    changes_before = IntegerQuantityField("changes", 0, MOST_CHANGES, required=False)


class PackersChangeSerializer(StrictSerializer):
    """What was added (positive) or taken out beside the fixing at this place, in all."""

    at = QuantityField("mm", 0, 20000)
    change = QuantityField("mm", -50, 50)


class FrameOfMemberSerializer(StrictSerializer):
    """`sill_rise`: how much higher the right end of the sill is than the left one, level where it
    is not given."""

    width = QuantityField("mm", 300, 20000)
    height = QuantityField("mm", 300, 20000)
    sill_rise = QuantityField("mm", -50, 50, required=False)


class MemberLimitsSerializer(StrictSerializer):
    """What is not given comes from the rule set."""

    plumb = QuantityField("mm", 0.1, 50, required=False)
    level = QuantityField("mm", 0.1, 50, required=False)
    bow = QuantityField("mm", 0.1, 50, required=False)
    diagonal = QuantityField("mm", 0.1, 50, required=False)


class PackerAdviceSerializer(StrictSerializer):
    """Places in mm from the member's left or foot end. Diagonals need the `frame`."""

    member = serializers.ChoiceField(choices=get_args(MemberName))
    length = QuantityField("mm", 100, 20000)
    fixings = serializers.ListField(
        child=PackedFixingSerializer(), min_length=2, max_length=MOST_FIXINGS
    )
    readings = serializers.ListField(
        child=FrameReadingSerializer(), min_length=1, max_length=MOST_READINGS
    )
    changes = serializers.ListField(
        child=PackersChangeSerializer(), max_length=MOST_CHANGES, required=False
    )
    frame = FrameOfMemberSerializer(required=False)
    limits = MemberLimitsSerializer(required=False)
    packer_thicknesses = serializers.ListField(
        child=QuantityField("mm", 0.5, 50), min_length=1, max_length=10, required=False
    )
    rule_set = serializers.CharField(max_length=60, required=False)


class PackerAdviceCalculationView(CalculationView):
    """Which packers of a frame member to add or take out where, least change first, from all its
    readings and all changes so far; and what it will read afterwards."""

    body_serializer = PackerAdviceSerializer

    @extend_schema(request=PackerAdviceSerializer, responses={200: dict})
    def post(self, *args: Any, **kwargs: Any) -> Any:
        return super().post(*args, **kwargs)

    def work_out(self, body: dict[str, Any]) -> dict[str, Any]:
        # Loaded here: most processes never ask for this, and numpy is slow to load.
        from installs.arithmetic.packer_advice import advise_packers  # noqa: PLC0415

        rules = rules_named(body.get("rule_set"))
        used = advice_rules(rules)
        if "packer_thicknesses" in body:
            used = replace(used, thicknesses=tuple(body["packer_thicknesses"]))
        limits = replace(member_limits(body["length"], rules), **body.get("limits", {}))
        member = _member(body, limits, used.slack)
        advice = advise_packers(member, used)
        answer = asdict(advice) | {
            "in_words": act_in_words(member.name, advice.act),
            "limits": asdict(limits),
            "slack": used.slack,
            "sources": [*SOURCES, *_sources(body.get("limits", {}), member, rules)],
            "cautions": CAUTIONS,
        }
        return rules.signed(answer)


def _member(body: Mapping[str, Any], limits: MemberLimits, slack: float) -> PackedMember:
    changes = body.get("changes", [])
    return PackedMember(
        name=body["member"],
        length=body["length"],
        fixings=tuple(_fixing(fixing) for fixing in body["fixings"]),
        readings=tuple(_reading(reading, changes) for reading in body["readings"]),
        changes=tuple(PackersChange(**change, slack=slack) for change in changes),
        limits=limits,
        frame=FrameSize(**body["frame"]) if "frame" in body else None,
    )


def _fixing(body: Mapping[str, Any]) -> PackedFixing:
    packers = body.get("packers")
    return PackedFixing(**dict(body) | {"packers": None if packers is None else tuple(packers)})


def _reading(body: Mapping[str, Any], changes: Sequence[Any]) -> FrameReading:
    return FrameReading(**{"changes_before": len(changes)} | dict(body))


def _sources(given: Mapping[str, Any], member: PackedMember, rules: Rules) -> list[str]:
    """Where the limits come from that the rule set gave."""
    kinds = ("plumb", "bow", "diagonal") if member.is_jamb else ("level", "bow")
    sources = member_limit_sources(rules)
    return [f"{kind}: {sources[kind]}" for kind in kinds if kind not in given]
