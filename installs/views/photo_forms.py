"""Photographs of a step, of a defect, or of the doorset as such."""

import hashlib
import json
from typing import Any
from uuid import uuid5

from django import forms
from django.db import transaction
from django.http import HttpRequest
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from installs.api.photo_serializers import SitePhotoCreateSerializer
from installs.models import Defect, Installation, PlanStep, SitePhoto
from installs.services.photos import add_site_photo
from installs.views.operation_form import OperationForm, SiteForm
from jobs.errors import InvalidField
from jobs.idempotency import IdempotencyKey, get_or_create_idempotently
from jobs.models import Record
from jobs.translation import translated
from jobs.views.access import person_of
from surveys.photos import UnusablePhoto, check_size
from surveys.services.photos import photo_limits

PICTURES = "image/jpeg,image/png,image/heic,image/heif"


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
        widget=forms.FileInput(attrs={"accept": PICTURES}),
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


class PhotoBeside(OperationForm):
    """A form with a photo of what it records: the queue of a phone sends it after the record;
    posted with it, both are stored or neither."""

    def add_photo(self, fitting: Installation, about: str) -> None:
        """`about`: what the photo is of, as its endpoint calls it: `step`, or `defect` for the
        record itself."""
        self.fitting, self.about = fitting, about
        subject = self.fixed.get(about, self["id"].value())
        attributes = {
            "accept": PICTURES,
            "data-not-sent": True,
            "data-photo-to": reverse("installation-photos", args=[fitting.pk]),
            "data-photo-fields": json.dumps({about: str(subject)}),
        }
        self.fields["photo"] = forms.FileField(
            label=_("Photo"), required=False, widget=forms.FileInput(attrs=attributes)
        )

    def _apply(self) -> Record:
        with transaction.atomic():
            record = super()._apply()
            if file := self.cleaned_data.get("photo"):
                try:
                    self._keep_photo(file.read(), record)
                except InvalidField as wrong:
                    raise InvalidField("/photo", str(wrong.detail)) from wrong
        return record

    def _keep_photo(self, content: bytes, record: Record) -> None:
        """A repeat of the form stores it once."""
        own = uuid5(self.cleaned_data["id"], "photo")
        key = IdempotencyKey.of(own, {"image": hashlib.sha256(content).hexdigest()})
        subject: Any = getattr(record, self.about) if self.about in self.fixed else record
        get_or_create_idempotently(
            SitePhoto,
            key,
            lambda: add_site_photo(
                actor=person_of(self.request),
                idempotency_key=key,
                installation=self.fitting,
                content=content,
                **{self.about: subject},
            ),
        )
