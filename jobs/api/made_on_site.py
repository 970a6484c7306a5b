"""When something that a phone sends by itself was made, by its clock."""

from datetime import UTC, timedelta
from typing import Any

from rest_framework import serializers

from jobs.api.strict import StrictSerializer
from jobs.services.phone_clock import PhoneTime

# A clock that begins anew where its battery was empty is tens of years back.
MOST_OFFSET_S = 100 * 366 * 24 * 3600
# They belong to the sending: a repeat is sent later.
OF_THE_SENDING = ("sent_at", "clock_offset_s")


class MadeOnSiteSerializer(StrictSerializer):
    """Of a form with a file; `time` is the `PhoneTime` of it, None where nothing was told."""

    made_at = serializers.DateTimeField(
        default_timezone=UTC,
        required=False,
        help_text="When it was made, by the client's clock, in UTC.",
    )
    sent_at = serializers.DateTimeField(
        default_timezone=UTC,
        required=False,
        help_text="The time of sending, by the same clock, so that a wrong one is noticed.",
    )
    clock_offset_s = serializers.IntegerField(
        min_value=-MOST_OFFSET_S,
        max_value=MOST_OFFSET_S,
        required=False,
        help_text="Seconds to add to the client's clock, by a `server_time` it was given.",
    )

    def validate(self, attrs: Any) -> Any:
        made_at, sent_at = attrs.pop("made_at", None), attrs.pop("sent_at", None)
        offset = timedelta(seconds=attrs.pop("clock_offset_s", 0))
        return attrs | {"time": PhoneTime(made_at, sent_at, offset) if made_at else None}
