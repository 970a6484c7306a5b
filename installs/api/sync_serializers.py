"""The queue of a fitter's phone as it comes in, and what became of each operation."""

from datetime import UTC
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from drf_spectacular.utils import OpenApiExample
from rest_framework import serializers

from installs.models import Inspection
from installs.operations import OPERATIONS, PLACE_FIELDS
from jobs.api.fields import IntegerQuantityField
from jobs.api.made_on_site import MOST_OFFSET_S
from jobs.api.strict import StrictSerializer

# A long day of fitting is about a hundred operations.
MOST_OPERATIONS = 200
# A handover with the customer's drawn signature is the longest of all, some tens of kilobytes.
LONGEST_JWS = 500_000
RESULTS = ("applied", "already_applied", "conflict", "set_aside", "waiting", "refused")


class OperationSerializer(StrictSerializer):
    id = serializers.UUIDField(help_text="Made by the client, once for each operation.")
    kind = serializers.CharField(
        max_length=40, help_text=f"One of {', '.join(sorted(OPERATIONS))}."
    )
    record = serializers.UUIDField(help_text="The record it creates or changes.")
    base_version = IntegerQuantityField(
        gettext_lazy("(version of the record)"),
        1,
        999_999_999,
        allow_null=True,
        help_text="The version that was changed; null where a record is created.",
    )
    made_at = serializers.DateTimeField(
        default_timezone=UTC,
        help_text="When it was done, by the client's clock, in UTC.",
    )
    after = serializers.UUIDField(
        allow_null=True,
        help_text=(
            "The operation of the queue that it depends on, for it is about the same record or the "
            f"same place ({', '.join(PLACE_FIELDS)} of the body); null where there is none. A "
            "client may name the one before it in the queue, whatever that is about."
        ),
    )
    also_after = serializers.ListField(
        child=serializers.UUIDField(),
        max_length=MOST_OPERATIONS,
        required=False,
        help_text="Further operations that it depends on.",
    )
    set_aside_because = serializers.CharField(
        max_length=500,
        required=False,
        help_text="Why it was refused, where it is kept as it is instead of being recorded.",
    )
    jws = serializers.CharField(
        max_length=LONGEST_JWS,
        required=False,
        help_text=(
            "The signature of an enrolled device (`/api/v1/device-keys/`): a compact JWS (RFC "
            "7515) whose header has `alg` ES256 and the key's thumbprint as `kid`, and whose "
            "payload is this operation as JSON without `after`, `also_after` and `jws`, with a "
            "`nonce` beside: 16 random bytes or more in base64url. Sign what the person saw, when "
            "they recorded it."
        ),
    )
    body = serializers.DictField(
        help_text="As the endpoint of the record takes it, without the id."
    )

    def validate(self, attrs: Any) -> Any:
        if attrs["id"] in [attrs["after"], *attrs.get("also_after", [])]:
            raise serializers.ValidationError({"after": _("an operation cannot come after itself")})
        return attrs


class SyncSerializer(StrictSerializer):
    operations = serializers.ListField(
        child=OperationSerializer(), min_length=1, max_length=MOST_OPERATIONS
    )
    sent_at = serializers.DateTimeField(
        default_timezone=UTC,
        required=False,
        help_text=(
            "The time of sending, by the client's clock. With it a clock that is wrong is noticed: "
            "all is refused, and comes again with the offset."
        ),
    )
    clock_offset_s = IntegerQuantityField(
        "s",
        -MOST_OFFSET_S,
        MOST_OFFSET_S,
        required=False,
        help_text="What has to be added to the client's clock, by a `server_time` it was given.",
    )


class VerdictSerializer(serializers.Serializer):
    decision = serializers.ChoiceField(choices=Inspection.Outcome.choices)
    act = serializers.CharField(
        allow_blank=True, help_text="What to do next, in words; empty where that is nothing."
    )


class OperationResultSerializer(serializers.Serializer):
    id = serializers.UUIDField()
    result = serializers.ChoiceField(choices=RESULTS)
    record = serializers.UUIDField()
    version = serializers.IntegerField(
        allow_null=True, help_text="Of the record, after the operation or in conflict with it."
    )
    yours = serializers.DictField(allow_null=True, help_text="In a conflict: the body as sent.")
    theirs = serializers.DictField(
        allow_null=True, help_text="In a conflict: the record as it stood against it."
    )
    waiting_for = serializers.UUIDField(
        allow_null=True, help_text="The operation that has to be answered first."
    )
    set_aside_because = serializers.CharField(help_text="Why it was set aside; else empty.")
    signed_by = serializers.CharField(
        allow_null=True,
        help_text=(
            "The thumbprint of the key whose signature counts. Null where it was not signed, or "
            "by a key that was ended: it is taken as unsigned then."
        ),
    )
    problem = serializers.DictField(
        allow_null=True,
        help_text="Where it is refused: the problem document of the single endpoint.",
    )
    verdict = VerdictSerializer(
        allow_null=True, help_text="On what was recorded, where that is judged."
    )


class SyncResponseSerializer(serializers.Serializer):
    results = OperationResultSerializer(many=True)


_FIXING = "8f1c2f8e-5d0e-4c53-9f34-0b7d2f4a9c11"
_OPERATION = "0f6f2a0c-7f2c-4a43-8a0e-5b0c8f2d7e01"
EXAMPLES = [
    OpenApiExample(
        "A fixing made in a cellar without a network",
        request_only=True,
        value={
            "operations": [
                {
                    "id": _OPERATION,
                    "kind": "record_fixing",
                    "record": _FIXING,
                    "base_version": None,
                    "made_at": "2026-05-04T09:41:07Z",
                    "after": None,
                    "body": {
                        "installation": "5b4f9a52-0d3e-4a77-8d3c-1a2b3c4d5e6f",
                        "member": "left",
                        "position": 199,
                        "kind": "frame_screw",
                        "packers": [10, 1],
                    },
                }
            ]
        },
    ),
    OpenApiExample(
        "It was applied",
        response_only=True,
        value={
            "results": [
                {
                    "id": _OPERATION,
                    "result": "applied",
                    "record": _FIXING,
                    "version": 1,
                    "yours": None,
                    "theirs": None,
                    "waiting_for": None,
                    "set_aside_because": "",
                    "signed_by": None,
                    "problem": None,
                    "verdict": None,
                }
            ]
        },
    ),
]
