"""Photographs of an opening: those of all its surveys, and a form that adds some to the newest."""

import hashlib
from uuid import UUID, uuid4, uuid5

from django.contrib import messages
from django.core.files.uploadedfile import UploadedFile
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST

from jobs.capabilities import Capability
from jobs.errors import DomainError
from jobs.idempotency import IdempotencyKey, get_or_create_idempotently
from jobs.models import Opening
from jobs.views.access import capability_required, person_of
from jobs.views.opening_views import opening_of
from jobs.views.saving import typed
from surveys.models import Photo, Survey
from surveys.photos import UnusablePhoto, check_size
from surveys.services.photos import add_photo, caption_photo, photo_limits
from surveys.views.openings import address_of, surveys_of
from surveys.views.photo_forms import CaptionForm, PhotoForm


@capability_required(Capability.MEASURE)
@require_http_methods(["GET", "POST"])
def photos(request: HttpRequest, reference: str, number: int) -> HttpResponse:
    """Each file is kept or refused by itself; what is refused says why."""
    opening = opening_of(request, reference, number)
    survey = surveys_of(request, opening).first()
    form = PhotoForm(typed(request), request.FILES if request.method == "POST" else None)
    if survey and form.is_valid():
        kept = [_kept(request, form, survey, file) for file in form.cleaned_data["images"]]
        if any(kept):
            messages.success(request, _saved_message(sum(kept)))
        if all(kept):
            return redirect(address_of(opening, "opening-photos"))
    context = {
        "opening": opening,
        "survey": survey,
        "form": form,
        "photos": _photos(request, opening),
        "new_id": uuid4(),
    }
    return render(
        request, "surveys/survey_photos.html", context, status=400 if form.errors else 200
    )


@capability_required(Capability.MEASURE)
@require_POST
def caption(request: HttpRequest, reference: str, number: int, photo: UUID) -> HttpResponse:
    """What a photograph shows, said afterwards; the form sends the version that was looked at."""
    opening = opening_of(request, reference, number)
    shown, form = get_object_or_404(_photos(request, opening), pk=photo), CaptionForm(request.POST)
    if form.is_valid() and form.attempt(
        lambda: caption_photo(
            actor=person_of(request),
            photo=shown,
            expected_version=form.expected_version,
            caption=form.cleaned_data["caption"],
        )
    ):
        messages.success(request, _("The caption is saved."))
    for errors in form.errors.values():
        for error in errors:
            messages.warning(request, str(error))
    return redirect(address_of(opening, "opening-photos"))


def _photos(request: HttpRequest, opening: Opening) -> QuerySet[Photo]:
    visible = Photo.objects.visible_to(person_of(request)).filter(survey__opening=opening)
    return visible.select_related("survey").order_by("-created_at", "-id")


def _kept(request: HttpRequest, form: PhotoForm, survey: Survey, file: UploadedFile) -> bool:
    """Whether the file was kept; where not, the form says why."""
    try:
        check_size(file.size or 0, photo_limits())
        content = file.read()
        texts = {"caption": form.cleaned_data["caption"]}
        idempotency_key = _identity(form, survey, content, texts)
        get_or_create_idempotently(
            Photo,
            idempotency_key,
            lambda: add_photo(
                actor=person_of(request),
                idempotency_key=idempotency_key,
                survey=survey,
                content=content,
                **texts,
            ),
        )
    except (UnusablePhoto, DomainError) as error:
        form.add_error("images", f"{file.name}: {getattr(error, 'detail', str(error))}.")
        return False
    return True


def _identity(
    form: PhotoForm, survey: Survey, content: bytes, texts: dict[str, str]
) -> IdempotencyKey:
    """One for each file of the form, the same whenever it is sent again."""
    image = hashlib.sha256(content).hexdigest()
    body = texts | {"subject": str(survey.pk), "image": image}
    return IdempotencyKey.of(uuid5(form.cleaned_data["id"], image), body)


def _saved_message(count: int) -> str:
    message = ngettext("{count} photo is saved.", "{count} photos are saved.", count)
    return message.format(count=count)
