"""How long comparing with the journal takes: one finished job, and many.

    DATABASE_URL=postgres://postgres@127.0.0.1:5432/postgres python -m benchmarks.verification

Makes a database of its own on that server, or in a folder of its own where none is named, and
copies a finished job with its chain: the copies have ids of their own, in rows and entries alike,
so that every chain and every record holds.
"""

import argparse
import hashlib
import json
import os
import re
import tempfile
from collections.abc import Callable, Iterator
from contextlib import nullcontext
from time import perf_counter, process_time
from typing import Any
from uuid import uuid4

import django

JOBS = 1000
TIMES = 5
# Of records; files keep their names.
IDENTITY = re.compile(r"(?<!/)[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}")

# The place of an entry in its chain, as it is written in canonical JSON.
PLACE = re.compile(r'"number":[0-9]+,"previous":"[0-9a-f]*"')


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--jobs", type=int, default=JOBS)
    jobs = parser.parse_args().jobs
    from tests.own_database import own_database  # noqa: PLC0415 it reads the environment

    on_a_server = own_database("verification") if os.environ.get("DATABASE_URL") else nullcontext()
    with tempfile.TemporaryDirectory(prefix="sillwright-benchmark-") as folder, on_a_server as name:
        os.environ |= {
            "DJANGO_SETTINGS_MODULE": "config.settings",
            "DATABASE_URL": name or f"sqlite:///{folder}/benchmark.sqlite3",
            "REDIS_URL": "",
            "CELERY_BROKER_URL": "",
            "SILLWRIGHT_DATA_DIR": folder,
            "LOG_LEVEL": "CRITICAL",
        }
        django.setup()
        _run(jobs)


def _run(jobs: int) -> None:
    from django.core.management import call_command  # noqa: PLC0415 records need the settings
    from django.db import connections  # noqa: PLC0415

    from jobs.services.job_check import check_job  # noqa: PLC0415
    from jobs.services.verifying import verify_everything  # noqa: PLC0415
    from tests import factories  # noqa: PLC0415
    from tests.reports.fitted import handed_over_job  # noqa: PLC0415

    call_command("migrate", verbosity=0)
    job = handed_over_job(factories.person("office"), factories.person("fitter"))
    entries, size = _size_of_journal(job)
    print(f"journal of a job: {entries} entries, {size / 1000:.0f} kB")
    best = min(_seconds(lambda: check_job(job)) for _ in range(TIMES))
    print(f"one job, with its files: {best * 1000:.0f} ms of processor")
    begun = perf_counter()
    _copy(job, jobs - 1)
    print(f"{jobs} jobs, copied in {perf_counter() - begun:.0f} s")
    best = min(_seconds(lambda: check_job(job)) for _ in range(TIMES))
    print(f"one job among them: {best * 1000:.0f} ms of processor")
    begun, used = perf_counter(), process_time()
    verification = verify_everything()
    print(f"everything: {perf_counter() - begun:.1f} s, {process_time() - used:.1f} s of processor")
    assert verification.holds, (verification.flaws[:3], verification.contradictions[:3])
    connections.close_all()


def _seconds(call: Callable[[], Any]) -> float:
    begun = process_time()
    assert not call().contradictions
    return process_time() - begun


def _size_of_journal(job: Any) -> tuple[int, int]:
    from jobs.models import JournalEntry  # noqa: PLC0415

    texts = JournalEntry.objects.filter(stream=job.journal_stream).values_list("text", flat=True)
    return len(texts), sum(len(text.encode()) for text in texts)


def _copy(job: Any, copies: int) -> None:
    """Rows as lines of JSON and entries as texts, with ids, references and numbers made anew."""
    from django.db import transaction  # noqa: PLC0415

    from jobs.models import JournalEntry, JournalStream  # noqa: PLC0415
    from upkeep.backup.rows import store_rows  # noqa: PLC0415

    tables = list(_rows_of(job))
    own = {row["id"] for _, rows in tables for row in rows if isinstance(row["id"], str)}
    entries = list(JournalEntry.objects.filter(record_id__in=own).order_by("pk"))
    for number in range(1, copies + 1):
        rename = _renaming(own, job.reference, f"SW-99-{number:05d}")
        with transaction.atomic():
            for model, rows in tables:
                lines = [rename(json.dumps(_numbered(model, row, number))).encode() for row in rows]
                store_rows(model, lines)
            _write(JournalEntry, JournalStream, entries, rename)


def _renaming(own: set[str], reference: str, copied: str) -> Callable[[str], str]:
    anew = {old: str(uuid4()) for old in own} | {reference: copied}
    names = re.compile(f"{IDENTITY.pattern}|{re.escape(reference)}")
    return lambda text: names.sub(lambda match: anew.get(match[0], match[0]), text)


def _rows_of(job: Any) -> Iterator[tuple[Any, list[dict[str, Any]]]]:
    from jobs.models import Customer, Job, Site  # noqa: PLC0415
    from jobs.services.job_check import models_of_jobs, path_to_job  # noqa: PLC0415
    from jobs.services.states import parts_of  # noqa: PLC0415
    from upkeep.backup.rows import models_in_order, row_lines  # noqa: PLC0415

    ways: dict[Any, dict[str, Any]] = {Customer: {"jobs": job}, Site: {"jobs": job}}
    for model in models_of_jobs():
        path = path_to_job(model)
        ways[model] = {path: job.pk}
        for part in parts_of(model):
            ways[part.related_model] = {f"{part.field.name}__{path}": job.pk}
        for relation in model._meta.many_to_many:
            name = relation.m2m_field_name()
            ways[relation.remote_field.through] = {f"{name}__{path}": job.pk}
    for table in models_in_order():
        if table in ways:
            rows = table._base_manager.filter(**ways[table]).values_list("pk", flat=True)
            keys = {str(key) for key in rows}
            lines = (json.loads(line) for line, _ in row_lines(table))
            yield table, [line for line in lines if str(line["id"]) in keys]
    assert Job in ways


def _numbered(model: Any, row: dict[str, Any], number: int) -> dict[str, Any]:
    """Numbers of rows that count themselves go on after the last one."""
    if not isinstance(row["id"], int):
        return row
    return row | {"id": row["id"] + number * 1_000_000}


def _write(entry_model: Any, stream_model: Any, entries: list[Any], rename: Any) -> None:
    heads: dict[str, Any] = {}
    written = []
    for entry in entries:
        name = rename(entry.stream_id)
        if name not in heads:
            heads[name] = stream_model.objects.get_or_create(name=name)[0]
        head = heads[name]
        link = f'"number":{head.length + 1},"previous":"{head.head}"'
        written.append(_entry(head, entry, PLACE.sub(link, rename(entry.text)), rename))
        head.length, head.head = head.length + 1, written[-1].digest
    entry_model.objects.bulk_create(written)
    for head in heads.values():
        head.save()


def _entry(head: Any, entry: Any, text: str, rename: Any) -> Any:
    return type(entry)(
        stream=head,
        number=head.length + 1,
        created_at=entry.created_at,
        actor_id=entry.actor_id,
        type=entry.type,
        record_kind=entry.record_kind,
        record_id=rename(entry.record_id),
        text=text,
        digest=hashlib.sha256(text.encode()).hexdigest(),
    )


if __name__ == "__main__":
    main()
