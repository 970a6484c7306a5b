"""Choosing a file from the maker of the profiles, and saying what it is about."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from installs.labels import PHASES
from installs.models import MakerInstruction
from installs.services.instructions import instruction_limits
from jobs.views.forms import RecordForm
from surveys.photos import UnusablePhoto, check_size


class InstructionForm(RecordForm):
    file = forms.FileField(
        label=gettext_lazy("File"),
        help_text=gettext_lazy("PDF, PNG or JPEG. A PDF must have no scripts and no files inside."),
        widget=forms.ClearableFileInput(attrs={"accept": "application/pdf,image/png,image/jpeg"}),
    )
    title = forms.CharField(
        label=gettext_lazy("Title"),
        max_length=MakerInstruction._meta.get_field("title").max_length,
        help_text=gettext_lazy("Such as: order of the screws at the head track."),
    )
    phase = forms.ChoiceField(
        label=gettext_lazy("Phase of the fitting"),
        required=False,
        choices=lambda: [("", _("All of it")), *PHASES.items()],
        help_text=gettext_lazy("It is shown on the steps of this phase, too."),
    )

    def clean_file(self) -> Any:
        """Before all of it is read into memory."""
        file = self.cleaned_data["file"]
        try:
            check_size(file.size or 0, instruction_limits())
        except UnusablePhoto as error:
            raise forms.ValidationError(str(error)) from error
        return file
