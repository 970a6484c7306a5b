"""Bodies and answers of photographs of the fitting."""

from installs.api.serializers import SITE_FIELDS, SiteRecordSerializer
from installs.models import Defect, PlanStep, SitePhoto
from jobs.api.fields import VisibleRelatedField
from surveys.api.serializers import PHOTO_FIELDS, PhotoCreateSerializer


class SitePhotoCreateSerializer(PhotoCreateSerializer):
    step = VisibleRelatedField(PlanStep, required=False)
    defect = VisibleRelatedField(Defect, required=False)


class SitePhotoSerializer(SiteRecordSerializer):
    class Meta:
        model = SitePhoto
        fields = (*SITE_FIELDS, "installation", "step", "defect", *PHOTO_FIELDS)
