"""The form behind the button that accepts a survey."""

from django import forms

from jobs.pages.forms import RecordForm


class AcceptForm(RecordForm):
    """`version` is the one that was looked at."""

    version = forms.IntegerField(widget=forms.HiddenInput, min_value=1)
