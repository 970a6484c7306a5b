"""Asking for documents, watching them being made, withdrawing them, sending one again."""

from typing import cast
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from installs.models import Installation
from installs.services.handing_over import current_installations
from jobs.capabilities import Capability
from jobs.models import Job
from jobs.views.access import capability_required, not_yours, person_of
from jobs.views.forms import ChangeableForm, RecordForm
from jobs.views.job_views import crumbs_of
from jobs.views.saving import FormPage, typed
from reports.kinds import KINDS, may_ask
from reports.models import Dispatch, Document
from reports.services.dispatches import resend
from reports.services.documents import issue_document, withdraw_document
from reports.views.job_documents import documents_of
from reports.views.paper_files import paper_or_why_not


class FittingField(forms.ModelChoiceField):
    def label_from_instance(self, installation: Installation) -> str:
        return str(installation.doorset.opening)


class WithdrawalForm(ChangeableForm):
    reason = forms.CharField(
        max_length=500,
        label=gettext_lazy("Why it is withdrawn"),
        help_text=gettext_lazy("Everybody who verifies the paper can read it."),
        widget=forms.Textarea(attrs={"rows": 4}),
    )
    for_safety = forms.TypedChoiceField(
        label=gettext_lazy("Could somebody be hurt?"),
        choices=lambda: [("", _("Choose")), ("yes", _("Yes")), ("no", _("No"))],
        coerce=lambda word: word == "yes",
        help_text=gettext_lazy(
            "If so, the reason becomes a critical defect, and there is no new certificate before "
            "two people have closed it."
        ),
    )
    installation = FittingField(
        queryset=Installation.objects.none(),
        required=False,
        label=gettext_lazy("At which opening"),
    )


@capability_required(Capability.READ)
@require_POST
def ask_for_document(request: HttpRequest, reference: str, kind: str) -> HttpResponse:
    """The hidden `id` of the form makes pressing twice harmless."""
    job, person = _job(request, reference), person_of(request)
    if kind not in KINDS:
        raise Http404
    if not may_ask(person, kind, job):
        return not_yours(request, KINDS[kind].capability)
    form = RecordForm(request.POST)
    if not form.is_valid():
        messages.warning(request, _("The form was incomplete. Press the button again."))
    elif document := form.create(Document, person, issue_document, job=job, kind=kind):
        messages.success(request, _asked_for(document))
    else:
        messages.warning(request, " ".join(str(error) for error in form.non_field_errors()))
    return redirect(f"{reverse('job', args=[reference])}#papers")


@capability_required(Capability.READ)
@require_GET
def job_document(request: HttpRequest, reference: str, pk: UUID) -> HttpResponse:
    """One document in the list of its job's page, which asks for it again while it is being made.

    The response for the version that was `seen` is empty: what is replaced is read out once more.
    """
    if not request.htmx:  # type: ignore[attr-defined]
        return redirect(f"{reverse('job', args=[reference])}#papers")
    job = _job(request, reference)
    document = get_object_or_404(documents_of(person_of(request), job), pk=pk)
    if request.GET.get("seen") == str(document.version):
        return HttpResponse(status=204)
    context = {"job": job, "document": document}
    return render(request, "reports/job_document.html", context)


@capability_required(Capability.READ)
@require_GET
def job_document_file(request: HttpRequest, reference: str, pk: UUID) -> HttpResponseBase:
    """Its PDF; 404 until it is made, and once it was erased."""
    job = _job(request, reference)
    document = get_object_or_404(documents_of(person_of(request), job).exclude(file=""), pk=pk)
    return paper_or_why_not(request, document, of_the_firm=True)


@capability_required(Capability.ISSUE_PAPERS)
@require_http_methods(["GET", "POST"])
def withdraw_document_page(request: HttpRequest, reference: str, pk: UUID) -> HttpResponse:
    job = _job(request, reference)
    document = get_object_or_404(documents_of(person_of(request), job), pk=pk)
    page = FormPage(
        title=_("Withdraw {document}?").format(document=document.label),
        crumbs=crumbs_of(job),
        draft=f"withdrawal-{pk}",
        button=_("Withdraw the paper"),
        lead=_(
            "It stays on record and can still be verified, as withdrawn. This cannot be undone; "
            "you can ask for a new edition."
        ),
    )
    form = WithdrawalForm(typed(request), initial={"version": document.version})
    cast(FittingField, form.fields["installation"]).queryset = current_installations(job)
    if form.is_valid() and form.attempt(
        lambda: withdraw_document(
            actor=person_of(request),
            document=document,
            expected_version=form.expected_version,
            reason=form.cleaned_data["reason"],
            for_safety=form.cleaned_data["for_safety"],
            installation=form.cleaned_data["installation"],
        )
    ):
        message = _("{document} is withdrawn.").format(document=document.label)
        return page.leave(request, message, "job", reference=reference)
    return page.show(request, form)


@capability_required(Capability.ISSUE_PAPERS)
@require_POST
def resend_dispatch(request: HttpRequest, reference: str, pk: UUID) -> HttpResponse:
    """To the customer's address of today."""
    job, person = _job(request, reference), person_of(request)
    dispatches = Dispatch.objects.visible_to(person).filter(document__job=job)
    dispatch = get_object_or_404(dispatches.select_related("document__job__customer"), pk=pk)
    form = ChangeableForm(request.POST)
    if form.is_valid() and form.attempt(
        lambda: resend(actor=person, dispatch=dispatch, expected_version=form.expected_version)
    ):
        messages.success(request, _sent_again(dispatch))
    else:
        messages.warning(request, " ".join(str(error) for error in form.non_field_errors()))
    return redirect(f"{reverse('job', args=[reference])}#papers")


def _asked_for(document: Document) -> str:
    message = _("{title}, {document}, is being made.")
    if document.kind in Document.MAILED:
        message = _("{title}, {document}, is being made and will be sent to the customer.")
    return message.format(title=document.title, document=document.label)


def _sent_again(dispatch: Dispatch) -> str:
    document = cast(Document, dispatch.document)
    return _("{document} is sent again to {address}.").format(
        document=document.label, address=dispatch.recipient
    )


def _job(request: HttpRequest, reference: str) -> Job:
    return get_object_or_404(Job.objects.visible_to(person_of(request)), reference=reference)
