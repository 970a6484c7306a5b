"""Bodies and answers of photographs of the fitting."""

from datetime import UTC

from rest_framework import serializers

from installs.api.serializers import SITE_FIELDS
from installs.models import Defect, PlanStep, SitePhoto
from jobs.api.fields import VisibleRecord
from surveys.api.serializers import PHOTO_FIELDS, NewPhoto


class NewSitePhoto(NewPhoto):
    step = VisibleRecord(PlanStep, required=False)
    defect = VisibleRecord(Defect, required=False)
    made_at = serializers.DateTimeField(
        default_timezone=UTC,
        required=False,
        help_text="When it was taken, by the client's clock, in UTC.",
    )


class SitePhotoAnswer(serializers.ModelSerializer):
    class Meta:
        model = SitePhoto
        fields = (*SITE_FIELDS, "installation", "step", "defect", *PHOTO_FIELDS)
