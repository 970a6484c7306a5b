"""Checkpoints of the journal, for everybody: as a page, and by plain HTTP for programs."""

import base64
from typing import Any

from django import forms
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_safe

from jobs.checkpoints import UnreadableCheckpoint
from jobs.models import JournalEntry
from jobs.seal_key import seal_key
from jobs.seal_log import SEALS, Seal, latest_seal, path_between, seal
from jobs.translation import translated
from jobs.views.lists import one_page
from reports.checkpoint_comparison import compare
from reports.views.public_views import firm, public_page


class PastedForm(forms.Form):
    pasted = forms.CharField(
        max_length=20_000,
        label=gettext_lazy("The seal or checkpoint"),
        help_text=gettext_lazy("From a paper, a letter to a witness, or this page as it once was."),
        widget=forms.Textarea(attrs={"rows": 6, "spellcheck": "false"}),
    )

    def compared(self) -> Any:
        """None where it cannot be read; the form says why."""
        try:
            return compare(self.cleaned_data["pasted"])
        except UnreadableCheckpoint as fault:
            self.add_error("pasted", translated(fault.why))
            return None


@require_http_methods(["GET", "HEAD", "POST"])
@public_page
def checkpoints(request: HttpRequest) -> HttpResponse:
    """The newest checkpoints; a posted seal or checkpoint is compared with the journal."""
    form = PastedForm(request.POST or None)
    comparison = form.compared() if form.is_bound and form.is_valid() else None
    page = one_page(request, JournalEntry.objects.filter(stream_id=SEALS))
    context = {
        "firm": firm(),
        "form": form,
        "comparison": comparison,
        "says": translated(comparison.says) if comparison else "",
        "key": str(seal_key().public),
        "seals": [Seal.read(entry) for entry in page["records"]],
        **page,
    }
    status = 400 if form.is_bound and form.errors else 200
    return render(request, "reports/checkpoints.html", context, status=status)


@require_safe
@public_page
def latest_checkpoint(request: HttpRequest) -> HttpResponse:
    return _note(latest_seal())


@require_safe
@public_page
def checkpoint(request: HttpRequest, number: int) -> HttpResponse:
    """The signed note of one seal (C2SP tlog-checkpoint)."""
    return _note(seal(number))


@require_safe
@public_page
def consistency(request: HttpRequest, first: int, second: int) -> HttpResponse:
    """The proof of RFC 9162 that the log of `second` seals begins with that of `first`: a hash a
    line, in base64."""
    try:
        path = path_between(first, second)
    except IndexError as fault:
        raise Http404 from fault
    return _plain("".join(f"{base64.b64encode(hash_).decode()}\n" for hash_ in path))


def _note(of: Seal | None) -> HttpResponse:
    if of is None or not of.checkpoint:
        raise Http404
    return _plain(of.checkpoint)


def _plain(text: str) -> HttpResponse:
    return HttpResponse(text, content_type="text/plain; charset=utf-8")
