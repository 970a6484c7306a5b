"""What the maker of the profiles gives to fitters: the office's list of it, and each for phones."""

import hashlib
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from installs.instruction_file import instruction_file
from installs.models import MakerInstruction
from installs.services.instructions import add_instruction, withdraw_instruction
from installs.views.instruction_forms import InstructionForm
from jobs.capabilities import Capability
from jobs.idempotency import IdempotencyKey, get_or_create_idempotently
from jobs.models import ProfileSystem
from jobs.views.access import capability_required, person_of
from jobs.views.forms import ChangeableForm
from jobs.views.saving import Crumb, typed


@capability_required(Capability.MANAGE_CATALOGUE)
@require_http_methods(["GET", "POST"])
def instructions(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Of one profile system: those that are valid, those that were withdrawn, and one more."""
    system = get_object_or_404(ProfileSystem.objects.visible_to(person_of(request)), pk=pk)
    form = InstructionForm(typed(request), request.FILES if request.method == "POST" else None)
    if form.is_valid() and (stored := form.attempt(lambda: _stored(request, system, form))):
        messages.success(request, _("{title} is saved.").format(title=stored.title))
        return redirect("maker-instructions", pk)
    visible = MakerInstruction.objects.visible_to(person_of(request))
    context = {
        "system": system,
        "crumbs": [
            Crumb(_("Profile systems"), reverse("profile-system-list")),
            Crumb(system.name, reverse("change-profile-system", args=[pk])),
        ],
        "form": form,
        "valid": visible.valid().filter(profile_system=system),
        "withdrawn": visible.filter(profile_system=system).exclude(withdrawn_at=None),
    }
    return render(
        request, "installs/instructions.html", context, status=400 if form.errors else 200
    )


@capability_required(Capability.MANAGE_CATALOGUE)
@require_POST
def withdraw(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The form sends the version that was looked at."""
    visible = MakerInstruction.objects.visible_to(person_of(request))
    instruction, form = get_object_or_404(visible, pk=pk), ChangeableForm(request.POST)
    if form.is_valid() and form.attempt(
        lambda: withdraw_instruction(
            actor=person_of(request),
            instruction=instruction,
            expected_version=form.expected_version,
        )
    ):
        text = _("{title} is withdrawn: fitters are not shown it any more.")
        messages.success(request, text.format(title=instruction.title))
    for errors in form.errors.values():
        for error in errors:
            messages.warning(request, str(error))
    return redirect("maker-instructions", instruction.profile_system_id)


@capability_required(Capability.READ)
@require_GET
def instruction(request: HttpRequest, pk: UUID) -> HttpResponseBase:
    """A valid one, for phones to save ahead. The answer says whose phone may keep it."""
    valid = MakerInstruction.objects.visible_to(person_of(request)).valid()
    answer = instruction_file(get_object_or_404(valid, pk=pk))
    answer["Sillwright-Person"] = str(person_of(request).pk)
    return answer


def _stored(request: HttpRequest, system: ProfileSystem, form: InstructionForm) -> MakerInstruction:
    content = form.cleaned_data["file"].read()
    said = {name: form.cleaned_data[name] for name in ("title", "phase")}
    body = said | {"subject": str(system.pk), "file": hashlib.sha256(content).hexdigest()}
    key = IdempotencyKey.of(form.cleaned_data["id"], body)
    return get_or_create_idempotently(
        MakerInstruction,
        key,
        lambda: add_instruction(
            actor=person_of(request),
            idempotency_key=key,
            profile_system=system,
            content=content,
            **said,
        ),
    )[0]
