"""The calculations that need no record: doorset and thermal transmittance."""

from dataclasses import asdict, fields
from typing import Any

from django.utils.translation import gettext as _
from drf_spectacular.utils import extend_schema
from rest_framework import serializers

from jobs.api.calculation import CalculationView, rules_named
from jobs.api.doorset_serializers import (
    FrameSizeSerializer,
    GlazingSerializer,
    ProfileSystemDataSerializer,
)
from jobs.api.fields import QuantityField
from jobs.api.serializers import CaseSerializer
from jobs.api.strict import StrictSerializer
from jobs.arithmetic.doorset import DoorsetRequest, ProfileData, Size, work_out_doorset
from jobs.arithmetic.fold import parse_fold
from jobs.arithmetic.glazing import read_glazing
from jobs.arithmetic.requirements import Case, judge_requirements
from jobs.arithmetic.thermal import Edge, Part, Transmittance, doorset_u_value, glazing_u_value
from jobs.models import Doorset
from jobs.services.doorset_rules import doorset_rules, requirement_rules


class DoorsetCalculationSerializer(CaseSerializer):
    """`nation`, `work`, `existing_upstand`, `energy_band` and `security_evidence` say which
    requirements count."""

    frame = FrameSizeSerializer()
    fold = serializers.CharField(max_length=9)
    opens = serializers.ChoiceField(choices=("out", "in"))
    profile_system = ProfileSystemDataSerializer()
    glazing = GlazingSerializer()
    upstand = QuantityField("mm", 0, 150, required=False)
    energy_band = serializers.ChoiceField(
        choices=Doorset.EnergyBand.choices, required=False, allow_blank=True
    )
    security_evidence = serializers.CharField(max_length=120, required=False, allow_blank=True)
    rule_set = serializers.CharField(max_length=60, required=False)


class DoorsetCalculationView(CalculationView):
    """Leaf sizes, masses, limits, glass safety and U of a doorset.

    `lifted_mass`, kg, is the frame as a crew lifts it in: with its sashes where they come hung,
    and with their glass where that comes fitted. Glass fitted in loose sashes is no part of it;
    the `lifted_mass` of each leaf is its sash as it comes.

    `within` holds a figure against the limit of `source` alone; `requirements` say which limit
    counts in the case of the work, or ask (`standing` is `question`) for what `asks` names.
    """

    body_serializer = DoorsetCalculationSerializer

    @extend_schema(request=DoorsetCalculationSerializer, responses={200: dict})
    def post(self, *args: Any, **kwargs: Any) -> Any:
        return super().post(*args, **kwargs)

    def work_out(self, body: dict[str, Any]) -> dict[str, Any]:
        rules = rules_named(body.get("rule_set"))
        system = body["profile_system"]
        request = DoorsetRequest(
            frame=Size(**body["frame"]),
            fold=parse_fold(body["fold"]),
            opens=body["opens"],
            profile_system=ProfileData(**system | {"head_fixing": tuple(system["head_fixing"])}),
            glazing=read_glazing(body["glazing"]),
            upstand=body.get("upstand"),
        )
        answer = work_out_doorset(request, doorset_rules(rules))
        case = Case(**{f.name: body[f.name] for f in fields(Case) if f.name in body})
        required = judge_requirements(answer, case, requirement_rules(rules))
        return rules.signed({**asdict(answer), "requirements": list(map(asdict, required))})


class PartSerializer(StrictSerializer):
    area = QuantityField("m2", 0, 200)
    u = QuantityField("W/(m2 K)", 0.1, 10)


class EdgeSerializer(StrictSerializer):
    length = QuantityField("m", 0, 500)
    psi = QuantityField("W/(m K)", 0, 1)


class PartsSerializer(StrictSerializer):
    glass = PartSerializer(many=True, allow_empty=False)
    frame = PartSerializer(many=True)
    edges = EdgeSerializer(many=True)


class ThermalSerializer(StrictSerializer):
    """One of three kinds; each has its own fields."""

    kind = serializers.ChoiceField(choices=("glazing", "doorset", "parts"))
    glazing = GlazingSerializer(required=False)
    parts = PartsSerializer(required=False)
    glass_area = QuantityField("m2", 0, 200, required=False)
    glass_u = QuantityField("W/(m2 K)", 0.1, 10, required=False)
    frame_area = QuantityField("m2", 0, 200, required=False)
    frame_u = QuantityField("W/(m2 K)", 0.1, 10, required=False)
    glass_perimeter = QuantityField("m", 0, 500, required=False)
    psi = QuantityField("W/(m K)", 0, 1, required=False)

    FIELDS_OF_KIND = {
        "glazing": {"glazing"},
        "doorset": {"parts"},
        "parts": {"glass_area", "glass_u", "frame_area", "frame_u", "glass_perimeter", "psi"},
    }

    def validate(self, body: dict[str, Any]) -> dict[str, Any]:
        kind, names = body["kind"], set(body) - {"kind"}
        expected = self.FIELDS_OF_KIND[kind]
        missing = _("required for kind {kind}").format(kind=kind)
        unknown = _("not a field of kind {kind}").format(kind=kind)
        errors = {name: [missing] for name in sorted(expected - names)}
        errors |= {name: [unknown] for name in sorted(names - expected)}
        if not errors and kind != "glazing" and self._area(body) <= 0:
            field = "parts" if kind == "doorset" else "glass_area"
            errors = {field: [_("the areas add up to 0 m²")]}
        if errors:
            raise serializers.ValidationError(errors)
        return body

    def _area(self, body: dict[str, Any]) -> float:
        if body["kind"] == "parts":
            return float(body["glass_area"] + body["frame_area"])
        return sum(part["area"] for part in (*body["parts"]["glass"], *body["parts"]["frame"]))


class ThermalCalculationView(CalculationView):
    """Thermal transmittance of a sealed unit, of a doorset, or from areas alone."""

    body_serializer = ThermalSerializer

    @extend_schema(request=ThermalSerializer, responses={200: dict})
    def post(self, *args: Any, **kwargs: Any) -> Any:
        return super().post(*args, **kwargs)

    def work_out(self, body: dict[str, Any]) -> Transmittance:
        if body["kind"] == "glazing":
            return glazing_u_value(read_glazing(body["glazing"]))
        if body["kind"] == "doorset":
            parts = body["parts"]
            return doorset_u_value(
                [Part(**part) for part in parts["glass"]],
                [Part(**part) for part in parts["frame"]],
                [Edge(**edge) for edge in parts["edges"]],
            )
        return doorset_u_value(
            [Part(body["glass_area"], body["glass_u"])],
            [Part(body["frame_area"], body["frame_u"])],
            [Edge(body["glass_perimeter"], body["psi"])],
        )
