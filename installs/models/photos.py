"""Photographs of the fitting."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext as _

from installs.models.defects import Defect
from installs.models.plan import Installation, OfInstallationQuerySet, PlanStep
from surveys.models import PhotoRecord


class SitePhoto(PhotoRecord):
    """A photograph of the fitting: of one step, of one defect, or of the doorset as such."""

    installation = models.ForeignKey(Installation, on_delete=models.PROTECT, related_name="photos")
    step = models.ForeignKey(PlanStep, null=True, on_delete=models.PROTECT, related_name="photos")
    defect = models.ForeignKey(Defect, null=True, on_delete=models.PROTECT, related_name="photos")
    sent_before = models.BooleanField(
        default=False, editable=False, help_text="The same picture was sent for another step."
    )

    objects = OfInstallationQuerySet.as_manager()

    class Meta(PhotoRecord.Meta):
        constraints = (
            models.CheckConstraint(
                condition=Q(step=None) | Q(defect=None), name="site_photo_shows_one_thing"
            ),
        )

    def __str__(self) -> str:
        return self.caption or _("photo of {subject}").format(
            subject=self.defect or self.step or self.installation
        )

    @property
    def journal_stream(self) -> str:
        return self.installation.journal_stream

    @property
    def warnings(self) -> list[str]:
        """Also that the same picture shows another step already: it is evidence of one alone."""
        warnings = super().warnings
        if self.sent_before:
            warnings.append(_("this picture was sent for another step before; take one of this"))
        return warnings
