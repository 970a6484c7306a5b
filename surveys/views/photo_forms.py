"""Choosing photographs on a phone, several at a time."""

from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext_lazy as _

from jobs.views.forms import ChangeableForm, RecordForm
from surveys.models import Photo


class SeveralFilesInput(forms.ClearableFileInput):
    allow_multiple_selected = True


class SeveralFilesField(forms.FileField):
    """A list of files, each checked as a single one is."""

    def clean(self, data: Any, initial: Any = None) -> list[UploadedFile]:
        given = data if isinstance(data, list | tuple) else [data]
        return [super(SeveralFilesField, self).clean(file, initial) for file in given or [None]]


def _caption(**options: Any) -> forms.CharField:
    longest = Photo._meta.get_field("caption").max_length
    return forms.CharField(label=_("What they show"), required=False, max_length=longest, **options)


class CaptionForm(ChangeableForm):
    caption = _caption()


class PhotoForm(RecordForm):
    images = SeveralFilesField(
        label=_("Photos"),
        help_text=_(
            "JPEG, PNG or HEIC. The place where a photo was taken is removed before it is saved."
        ),
        widget=SeveralFilesInput(
            attrs={"accept": "image/jpeg,image/png,image/heic,image/heif", "multiple": True}
        ),
    )
    caption = _caption(help_text=_("Such as: left jamb at the foot, damp."))
