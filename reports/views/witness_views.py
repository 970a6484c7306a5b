"""The witnesses of the journal, and the letters that went to them."""

from collections import defaultdict
from collections.abc import Iterable
from uuid import UUID

from django import forms
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_safe

from jobs.capabilities import Capability
from jobs.views.access import capability_required, person_of
from jobs.views.forms import ChangeableForm, RecordForm
from jobs.views.saving import Crumb, FormPage, typed
from reports.models import Dispatch, JournalWitness
from reports.services.journal_witnesses import add_witness, end_witness

LETTERS_SHOWN = 12


class WitnessForm(RecordForm):
    name = forms.CharField(
        label=gettext_lazy("Name"), max_length=JournalWitness._meta.get_field("name").max_length
    )
    standing = forms.ChoiceField(
        label=gettext_lazy("What they are"),
        choices=lambda: [("", _("Choose")), *JournalWitness.Standing.choices],
    )
    email = forms.EmailField(
        label=gettext_lazy("E-mail"),
        help_text=gettext_lazy(
            "Outside the firm. Ask them first: a letter goes there every month, which they keep."
        ),
    )


@capability_required(Capability.ADMINISTER)
@require_safe
def witness_list(request: HttpRequest) -> HttpResponse:
    witnesses = list(JournalWitness.objects.order_by("ended_at", "created_at"))
    letters = _letters_by_address(witnesses)
    context = {
        "witnesses": [(witness, letters[witness.email][:LETTERS_SHOWN]) for witness in witnesses]
    }
    return render(request, "reports/witnesses.html", context)


def _letters_by_address(witnesses: Iterable[JournalWitness]) -> dict[str, list[Dispatch]]:
    """Newest first."""
    addresses = [witness.email for witness in witnesses]
    sent: QuerySet[Dispatch] = Dispatch.objects.filter(
        channel=Dispatch.Channel.WITNESS, recipient__in=addresses
    ).select_related("entry")
    by_address: dict[str, list[Dispatch]] = defaultdict(list)
    for letter in sent.order_by("-created_at"):
        by_address[letter.recipient].append(letter)
    return by_address


@capability_required(Capability.ADMINISTER)
@require_http_methods(["GET", "POST"])
def new_witness(request: HttpRequest) -> HttpResponse:
    page = FormPage(
        title=_("A new witness"),
        crumbs=[_list_crumb()],
        draft="witness-new",
        button=_("Add the witness"),
    )
    form = WitnessForm(typed(request))
    if form.is_valid():
        witness = form.create(JournalWitness, person_of(request), add_witness, **form.values)
        if witness:
            message = _("{name} gets the newest checkpoint once a month.").format(name=witness.name)
            return page.leave(request, message, "witnesses")
    return page.show(request, form)


@capability_required(Capability.ADMINISTER)
@require_http_methods(["GET", "POST"])
def end_witness_page(request: HttpRequest, pk: UUID) -> HttpResponse:
    witnesses = JournalWitness.objects.visible_to(person_of(request)).not_ended()
    witness = get_object_or_404(witnesses, pk=pk)
    page = FormPage(
        title=_("End {name} as a witness?").format(name=witness.name),
        crumbs=[_list_crumb()],
        draft=f"witness-end-{pk}",
        button=_("End it"),
        lead=_(
            "No letter goes to {email} any more. What they have they keep, and it goes on counting."
        ).format(email=witness.email),
    )
    form = ChangeableForm(typed(request), initial={"version": witness.version})
    if form.is_valid() and form.attempt(
        lambda: end_witness(
            actor=person_of(request), witness=witness, expected_version=form.expected_version
        )
    ):
        message = _("No letter goes to {name} any more.").format(name=witness.name)
        return page.leave(request, message, "witnesses")
    return page.show(request, form)


def _list_crumb() -> Crumb:
    return Crumb(_("Witnesses"), reverse("witnesses"))
