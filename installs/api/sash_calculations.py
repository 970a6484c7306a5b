"""The calculations of sashes that need no record: glazing plan and running gear."""

from dataclasses import asdict
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from drf_spectacular.utils import extend_schema
from rest_framework import serializers

from installs.arithmetic.chains import ChainJunction, RunningGearRequest
from installs.arithmetic.glazing_plan import GlazedLeaf, SashDiagonals, plan_glazing
from installs.arithmetic.season import closing_gap
from installs.services.calculation_rules import block_rules, season_rules
from jobs.api.calculation import CalculationView, rules_named
from jobs.api.fields import QuantityField, StrictBooleanField
from jobs.api.strict import StrictSerializer
from jobs.arithmetic.fold import LARGEST_FOLD, parse_fold
from jobs.rules import Rules


class GlazedLeafSerializer(StrictSerializer):
    """A sash, with the size of its glass where it is known."""

    number = serializers.IntegerField(min_value=1, max_value=LARGEST_FOLD)
    width = QuantityField("mm", 200, 3000)
    height = QuantityField("mm", 200, 5000)
    glass_mass = QuantityField("kg", 0, 1000)
    glass_width = QuantityField("mm", 100, 3000, required=False)
    glass_height = QuantityField("mm", 100, 5000, required=False)


class SashDiagonalsSerializer(StrictSerializer):
    """`rising` runs from bottom left to top right, seen from outside."""

    number = serializers.IntegerField(min_value=1, max_value=LARGEST_FOLD)
    rising = QuantityField("mm", 200, 6000)
    falling = QuantityField("mm", 200, 6000)


class GlazingPlanSerializer(StrictSerializer):
    fold = serializers.CharField(max_length=9)
    leaves = serializers.ListField(
        child=GlazedLeafSerializer(), min_length=1, max_length=LARGEST_FOLD
    )
    toe_and_heel_device = StrictBooleanField()
    sash_diagonals = serializers.ListField(
        child=SashDiagonalsSerializer(), max_length=LARGEST_FOLD, required=False
    )
    rule_set = serializers.CharField(max_length=60, required=False)


class GlazingPlanCalculationView(CalculationView):
    """In which order sashes are glazed, how each is braced, and where its blocks sit."""

    body_serializer = GlazingPlanSerializer

    @extend_schema(request=GlazingPlanSerializer, responses={200: dict})
    def post(self, *args: Any, **kwargs: Any) -> Any:
        return super().post(*args, **kwargs)

    def work_out(self, body: dict[str, Any]) -> dict[str, Any]:
        rules = rules_named(body.get("rule_set"))
        plan = plan_glazing(
            parse_fold(body["fold"]),
            [GlazedLeaf(**leaf) for leaf in body["leaves"]],
            block_rules(rules),
            toe_and_heel_device=body["toe_and_heel_device"],
            diagonals=[SashDiagonals(**pair) for pair in body.get("sash_diagonals", [])],
        )
        return rules.signed(asdict(plan))


class ChainJunctionSerializer(StrictSerializer):
    """`lifted`: how far the support stands above the middle of its range by now."""

    at = QuantityField("mm", 0, 20000)
    support = serializers.ChoiceField(choices=("hinge", "carrier", "none"))
    head_gap = QuantityField("mm", 0, 50)
    sill_gap = QuantityField("mm", 0, 50)
    adjustable = StrictBooleanField(required=False)
    lifted = QuantityField("mm", -20, 20, required=False)


MATERIALS = ("aluminium", "pvc-u", "timber")


class RunningGearSerializer(StrictSerializer):
    """One chain, from its jamb; `tolerance` comes from the rule set where it is not given.

    With `leaf_gap`, what the gaps were meant to be, it is told whether frame, sash or carrier is
    off. `expanded_uncertainty` is that of one reading, its `coverage_factor` 2 where it is not
    given. With `temperature` and `material` the closing gap to set today is answered too;
    `chain_length` is by default where the last junction is.
    """

    junctions = serializers.ListField(
        child=ChainJunctionSerializer(), min_length=2, max_length=LARGEST_FOLD + 1
    )
    adjustment_range = QuantityField("mm", 0, 20)
    lift_per_turn = QuantityField("mm", 0.1, 10)
    tolerance = QuantityField("mm", 0, 20, required=False)
    leaf_gap = QuantityField("mm", 0.5, 30, required=False)
    expanded_uncertainty = QuantityField("mm", 0, 10, required=False)
    coverage_factor = QuantityField(gettext_lazy("(coverage factor)"), 1, 4, required=False)
    temperature = QuantityField("C", -30, 80, required=False)
    material = serializers.ChoiceField(choices=MATERIALS, required=False)
    reinforced = StrictBooleanField(
        required=False, help_text="Whether steel is inside profiles of PVC-U."
    )
    chain_length = QuantityField("mm", 200, 40000, required=False)
    rule_set = serializers.CharField(max_length=60, required=False)

    def validate(self, body: dict[str, Any]) -> dict[str, Any]:
        if "coverage_factor" in body and "expanded_uncertainty" not in body:
            raise serializers.ValidationError(
                {"expanded_uncertainty": [_("give it with its coverage factor")]}
            )
        if "temperature" in body:
            for name in ("material", "leaf_gap"):
                if name not in body:
                    raise serializers.ValidationError(
                        {name: [_("give it with the temperature: the closing gap follows from it")]}
                    )
        for name in ("material", "reinforced", "chain_length"):
            if name in body and "temperature" not in body:
                raise serializers.ValidationError(
                    {"temperature": [_("give it in C: the closing gap to set follows from it")]}
                )
        return body


class RunningGearCalculationView(CalculationView):
    """Which carrier of a chain is lifted by how much, what no carrier can cure and why, and the
    closing gap to set at today's temperature."""

    body_serializer = RunningGearSerializer

    @extend_schema(request=RunningGearSerializer, responses={200: dict})
    def post(self, *args: Any, **kwargs: Any) -> Any:
        return super().post(*args, **kwargs)

    def work_out(self, body: dict[str, Any]) -> dict[str, Any]:
        # Loaded here: most processes never ask for this, and numpy is slow to load.
        from installs.arithmetic.running_gear import set_running_gear  # noqa: PLC0415

        rules = rules_named(body.get("rule_set"))
        request = _gear_request(body, rules)
        answer = asdict(set_running_gear(request)) | {"season": _season(body, request, rules)}
        return rules.signed({"tolerance": request.tolerance, **answer})


def _gear_request(body: dict[str, Any], rules: Rules) -> RunningGearRequest:
    given = ("adjustment_range", "lift_per_turn", "leaf_gap", "expanded_uncertainty")
    return RunningGearRequest(
        junctions=tuple(ChainJunction(**junction) for junction in body["junctions"]),
        tolerance=body.get("tolerance", float(rules["running_gear.gap_difference"])),
        together_tolerance=float(rules["running_gear.gaps_together"]),
        confidence=rules["decision.confidence"],
        **{name: body[name] for name in (*given, "coverage_factor") if name in body},
    )


def _season(
    body: dict[str, Any], request: RunningGearRequest, rules: Rules
) -> dict[str, Any] | None:
    if request.leaf_gap is None or "temperature" not in body:
        return None
    length = body.get("chain_length", request.junctions[-1].at - request.junctions[0].at)
    material = body["material"].replace("pvc-u", "pvc_u")
    season = season_rules(rules, material, reinforced=body.get("reinforced", False))
    return asdict(closing_gap(length, request.leaf_gap, body["temperature"], season))
