"""What the firm holds about a customer, as somebody may ask to be given it: JSON and files."""

import json
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from django.db.models import QuerySet
from django.db.models.fields.files import FieldFile

from installs.models import (
    Bead,
    CarrierLift,
    Concession,
    Defect,
    Fixing,
    Inspection,
    JunctionGap,
    PackerChange,
    PlanStep,
    SashRecord,
)
from installs.models import Reading as FittingReading
from jobs.frozen import stored_values
from jobs.models import Customer, Delivery, Doorset, Opening, Visit
from reports.models import DispatchAttempt
from surveys.models import FitDecision, Reading
from upkeep.backup.rows import plain
from upkeep.personal_data.held import Held

FILE_NAME = "held.json"
# They tell nothing about anybody; a key would open what the journal keeps sealed.
LEFT_OUT = {"seal_key", "creation_digest"}
OF_INSTALLATIONS = (
    PlanStep,
    Fixing,
    JunctionGap,
    SashRecord,
    Bead,
    CarrierLift,
    PackerChange,
    Defect,
)


def personal_data(customer: Customer) -> dict[str, list[dict[str, Any]]]:
    """Every record about a customer as plain JSON, by its kind."""
    return {
        records.model._meta.label_lower: _rows(records) for records in _everything(Held(customer))
    }


def export_to(folder: Path, customer: Customer) -> list[str]:
    """Write all records as JSON, and beside it papers and photos as they were kept.

    Returns the names of files that records name and that are not there.
    """
    held = Held(customer)
    folder.mkdir(mode=0o700, parents=True)
    text = json.dumps(personal_data(customer), indent=1, ensure_ascii=False)
    (folder / FILE_NAME).write_text(text, encoding="utf-8")
    copies = {folder / "papers" / paper.filename: paper.file for paper in held.documents.kept()}
    for photo in (*held.survey_photos, *held.site_photos):
        copies[folder / "photos" / f"{photo.pk}.jpg"] = photo.image
    return [str(file.name) for path, file in copies.items() if not _copied(file, path)]


def _everything(held: Held) -> Iterator[QuerySet[Any]]:
    yield Customer.objects.filter(pk=held.customer.pk)
    yield from (held.sites, held.jobs)
    yield Opening.objects.filter(job__in=held.jobs)
    yield Visit.objects.filter(job__in=held.jobs)
    yield Doorset.objects.filter(opening__job__in=held.jobs)
    yield Delivery.objects.filter(doorset__opening__job__in=held.jobs)
    yield from (held.surveys, held.survey_photos)
    yield Reading.objects.filter(survey__in=held.surveys)
    yield FitDecision.objects.filter(survey__in=held.surveys)
    yield held.installations
    for model in OF_INSTALLATIONS:
        yield model._default_manager.filter(installation__in=held.installations)
    yield Inspection.objects.filter(step__installation__in=held.installations)
    yield FittingReading.objects.filter(inspection__step__installation__in=held.installations)
    yield Concession.objects.filter(installation__in=held.installations)
    yield from (held.site_photos, held.handovers, held.documents, held.dispatches)
    yield DispatchAttempt.objects.filter(dispatch__in=held.dispatches)
    yield held.journal


def _rows(records: QuerySet[Any]) -> list[dict[str, Any]]:
    fields = records.model._meta.concrete_fields
    columns = [field.attname for field in fields if field.name not in LEFT_OUT]
    rows = stored_values(records, *columns)
    return [{name: plain(value) for name, value in row.items()} for row in rows]


def _copied(file: FieldFile, path: Path) -> bool:
    path.parent.mkdir(exist_ok=True)
    try:
        with file.open("rb") as content, path.open("wb") as target:
            shutil.copyfileobj(content, target)
    except FileNotFoundError:
        return False
    return True
