"""Photographs of a step, of a defect, or of the doorset as such."""

import hashlib
from typing import Any

from django import forms
from django.http import HttpRequest
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from installs.api.photo_serializers import SitePhotoCreateSerializer
from installs.models import Defect, Installation, PlanStep, SitePhoto
from installs.services.photos import add_site_photo
from installs.views.operation_form import SiteForm
from jobs.errors import InvalidField
from jobs.idempotency import IdempotencyKey, get_or_create_idempotently
from jobs.translation import translated
from jobs.views.access import person_of
from surveys.photos import UnusablePhoto, check_size
from surveys.services.photos import photo_limits


class PhotoForm(SiteForm):
    """No operation of the queue: pictures are sent by themselves, as files."""

    entry_kind = "photo"
    serializer = SitePhotoCreateSerializer
    button = gettext_lazy("Save the photo")

    image = forms.FileField(
        label=gettext_lazy("Photo"),
        help_text=gettext_lazy(
            "JPEG, PNG or HEIC. Its location data is removed before it is saved."
        ),
        widget=forms.FileInput(attrs={"accept": "image/jpeg,image/png,image/heic,image/heif"}),
    )
    caption = forms.CharField(label=gettext_lazy("Caption"), required=False, max_length=160)

    def __init__(
        self,
        request: HttpRequest,
        fitting: Installation,
        *,
        about: str,
        step: PlanStep | None = None,
        defect: Defect | None = None,
    ) -> None:
        self.fitting, self.step, self.defect = fitting, step, defect
        subjects = {"step": step, "defect": defect}
        named = {name: str(record.pk) for name, record in subjects.items() if record}
        title = _title(fitting, step, defect)
        super().__init__(request, about=about, title=title, fixed=named)

    def keep(self) -> SitePhoto | None:
        """The photo that was stored; None where none was sent, or it cannot be kept."""
        return self.attempt(self._kept) if self.is_valid() else None

    def _kept(self) -> SitePhoto:
        file = self.cleaned_data["image"]
        try:
            check_size(file.size or 0, photo_limits())
        except UnusablePhoto as error:
            raise InvalidField("/image", str(error)) from error
        content, caption = file.read(), self.cleaned_data["caption"]
        idempotency_key = IdempotencyKey.of(self.cleaned_data["id"], self._sent(content, caption))
        photo, _ = get_or_create_idempotently(
            SitePhoto,
            idempotency_key,
            lambda: add_site_photo(
                actor=person_of(self.request),
                idempotency_key=idempotency_key,
                installation=self.fitting,
                content=content,
                caption=caption,
                step=self.step,
                defect=self.defect,
            ),
        )
        return photo

    def _sent(self, content: bytes, caption: str) -> dict[str, Any]:
        """As its endpoint sees the same photo, so that a repeat by the queue is known."""
        image = hashlib.sha256(content).hexdigest()
        typed = {"caption": caption} if caption else {}
        own = {"id": str(self.cleaned_data["id"]), "subject": str(self.fitting.pk)}
        return self.fixed | typed | own | {"image": image}


def _title(fitting: Installation, step: PlanStep | None, defect: Defect | None) -> str:
    """What the photo is called while it is in the queue."""
    if defect:
        return _("Photo: {subject}").format(subject=defect.description)
    if step:
        return _("Photo: step {number}, {title}").format(
            number=step.number, title=translated(step.title)
        )
    return _("Photo: {subject}").format(subject=fitting.job.reference)
