"""What a survey records besides readings: typed, and chosen from lists."""

from collections.abc import Callable
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from rest_framework import serializers

from jobs.api.fields import IntegerQuantityField, QuantityField, StrictBooleanField
from jobs.api.strict import StrictSerializer
from surveys.choices import OBSTRUCTIONS
from surveys.typed_lists import read_corners, read_places

SUBSTRATES = ("brick", "block", "timber", "steel", "concrete")
SERVICES = ("electricity", "gas", "water", "drain", "telephone", "alarm", "not_known")
BUILT = ("before_2000", "from_2000", "not_known")
SAFETY_LED_BY = ("this_firm", "principal_contractor", "not_known")
ACCESS = ("direct", "through_house", "narrow_passage", "steps", "lifting_gear_needed")


class SidesSerializer(StrictSerializer):
    """One length for each side of an opening."""

    left = QuantityField("mm", 0, 300)
    right = QuantityField("mm", 0, 300)
    head = QuantityField("mm", 0, 300)
    sill = QuantityField("mm", 0, 300)


class AllowancesSerializer(StrictSerializer):
    """Where a finish is named for one side, there is none on the others."""

    left = QuantityField("mm", 0, 300, default=0)
    right = QuantityField("mm", 0, 300, default=0)
    head = QuantityField("mm", 0, 300, default=0)
    sill = QuantityField("mm", 0, 300, default=0)


class TypedListField(serializers.ListField):
    """A list, also as it is typed: `read` makes one of text."""

    def __init__(self, read: Callable[[str], list[Any]], **options: Any) -> None:
        self.read = read
        super().__init__(**options)

    def to_internal_value(self, data: Any) -> list[Any]:
        if isinstance(data, str):
            try:
                data = self.read(data)
            except ValueError as wrong:
                raise serializers.ValidationError([str(wrong)]) from wrong
        return super().to_internal_value(data)


class SubstratesSerializer(StrictSerializer):
    """What each member is fixed to."""

    left = serializers.ChoiceField(choices=SUBSTRATES)
    right = serializers.ChoiceField(choices=SUBSTRATES)
    head = serializers.ChoiceField(choices=SUBSTRATES)
    sill = serializers.ChoiceField(choices=SUBSTRATES)


class CornerSerializer(StrictSerializer):
    """Two passages that meet at a right angle: their clear widths before and after it."""

    before = QuantityField("mm", 300, 20000)
    after = QuantityField("mm", 300, 20000)


class WayInSerializer(StrictSerializer):
    """The way in from where the doorset is unloaded, as it was measured: clear widths and heights
    at the narrowest and the lowest place; a doorway in the side of a passage is a corner too, its
    clear width after it. An empty list of corners says that there is none. `distance` in m."""

    passage_width = QuantityField("mm", 300, 20000, required=False)
    passage_height = QuantityField("mm", 1000, 20000, required=False)
    doorway_width = QuantityField("mm", 300, 20000, required=False)
    doorway_height = QuantityField("mm", 1000, 20000, required=False)
    corners = TypedListField(read_corners, child=CornerSerializer(), max_length=6, required=False)
    steps = IntegerQuantityField(gettext_lazy("steps"), 0, 200, required=False)
    distance = QuantityField("m", 0, 2000, required=False)


class ObstructionPlaceSerializer(StrictSerializer):
    """Something higher than the sill that leaves could meet. `along`: its left end, from the left
    edge of the opening as seen from outside, negative to the left of it; `distance`: its nearest
    point, out from the face of the wall on its side; `width` along the wall."""

    obstruction = serializers.ChoiceField(choices=OBSTRUCTIONS)
    side = serializers.ChoiceField(choices=("outside", "inside"), required=False)
    along = QuantityField("mm", -20000, 40000)
    distance = QuantityField("mm", 0, 20000)
    width = QuantityField("mm", 0, 40000, required=False)


def some_of(choices: tuple[str, ...]) -> serializers.ListField:
    """A list of choices that may be left out."""
    child = serializers.ChoiceField(choices=choices)
    return serializers.ListField(child=child, max_length=len(choices), required=False)


class ConditionsSerializer(StrictSerializer):
    """Left and right from outside. What decides safety must be said; the rest where it is known.

    `floor_level_*`: finished floor above (or, negative, below) the sill. `frame_position`: outer
    face of the frame behind the outer face of the wall. `allowances`: what plaster, board or tiles
    will still take of a structural opening; it is kept free of the frame. `stack_room`: free depth
    in front of the opening, from the face of the wall that leaves fold out of. `obstructions` names
    what is in their way; `obstruction_places` says where it stands, so that it can be held against
    what the leaves sweep.
    """

    measured_to = serializers.ChoiceField(choices=("structural", "finished"))
    substrate = SubstratesSerializer()
    damp_proof_course = serializers.ChoiceField(choices=("ok", "damaged", "missing", "not_seen"))
    lintel_seen = StrictBooleanField()
    asbestos_suspected = StrictBooleanField()
    outside_drop = QuantityField("mm", 0, 50000)

    allowances = AllowancesSerializer(required=False)
    floor_level_inside = QuantityField("mm", -2000, 2000, required=False)
    floor_level_outside = QuantityField("mm", -5000, 2000, required=False)
    threshold = serializers.ChoiceField(choices=("level", "low", "stepped"), required=False)
    drainage = serializers.ChoiceField(
        choices=("none", "channel", "falls_away", "gully"), required=False
    )
    ground_fall = serializers.ChoiceField(choices=("away", "to_the_door", "level"), required=False)
    reveal_depth = QuantityField("mm", 0, 2000, required=False)
    frame_position = QuantityField("mm", 0, 2000, required=False)
    sill_projection = QuantityField(
        "mm",
        0,
        500,
        required=False,
        help_text="mm, 0 to 500. Kept as it was recorded; nothing is worked out from it any more.",
    )
    cavity = serializers.ChoiceField(
        choices=("none", "open", "closed", "insulated"), required=False
    )
    lintel_span = QuantityField("mm", 300, 20000, required=False)
    head_movement_allowance = QuantityField("mm", 0, 100, required=False)
    stack_room = QuantityField("mm", 0, 20000, required=False)
    obstructions = some_of(OBSTRUCTIONS)
    obstruction_places = TypedListField(
        read_places, child=ObstructionPlaceSerializer(), max_length=12, required=False
    )
    services_in_reveal = some_of(SERVICES)
    access = some_of(ACCESS)
    way_in = WayInSerializer(required=False)
    asbestos_cleared = serializers.CharField(
        max_length=300,
        required=False,
        help_text="Who sampled, surveyed or removed it, when, and the number of their report. The "
        "office or a surveyor enters it.",
    )
    built = serializers.ChoiceField(
        choices=BUILT,
        required=False,
        help_text="A building from before 2000 may hold asbestos that nobody sees.",
    )
    safety_led_by = serializers.ChoiceField(
        choices=SAFETY_LED_BY,
        required=False,
        help_text="This firm where it is the only contractor, else the principal contractor.",
    )
    asbestos_papers = serializers.ListField(
        child=serializers.UUIDField(),
        max_length=12,
        required=False,
        help_text="Ids of photos of the report, of surveys of this opening.",
    )
    guarding_present = StrictBooleanField(required=False)
    notifiable = serializers.ChoiceField(choices=("yes", "no", "not_known"), required=False)
    trickle_ventilation_present = StrictBooleanField(required=False)
    notes = serializers.CharField(max_length=1000, required=False)

    def validate(self, conditions: dict[str, Any]) -> dict[str, Any]:
        errors = {}
        if conditions["measured_to"] == "finished" and "allowances" in conditions:
            errors["allowances"] = [_("a finished opening takes no further finishes; leave it out")]
        if conditions.get("asbestos_cleared") and not _may_hold_asbestos(conditions):
            errors["asbestos_cleared"] = [
                _("nothing was suspected; say asbestos_suspected, or built before_2000, first")
            ]
        if errors:
            raise serializers.ValidationError(errors)
        if "asbestos_papers" in conditions:
            conditions["asbestos_papers"] = [str(pk) for pk in conditions["asbestos_papers"]]
        return conditions


def _may_hold_asbestos(conditions: dict[str, Any]) -> bool:
    by_its_age = conditions.get("built", "from_2000") != "from_2000"
    return by_its_age or bool(conditions["asbestos_suspected"])
