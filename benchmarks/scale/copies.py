"""A million jobs from four: their rows are copied inside PostgreSQL, each copy with ids of its own.

Every copy has what lists, search, stages and gates ask about; one in `EVIDENCE_ONE_IN` also has all
of the evidence (readings, steps, fixings, journal, whole record and plan), which is looked at only
one job at a time. A copied chain of the journal is as long as a real one and does not verify: its
text still speaks of the job that it was copied from.
"""

from dataclasses import dataclass
from typing import Any

from django.db import connection, models

from benchmarks.scale.exemplars import Firm
from installs import models as installs
from jobs import models as jobs
from reports import models as reports
from surveys import models as surveys

EVIDENCE_ONE_IN = 100
AT_ONCE = 25_000
MOST = 1_000_000
MINUTES_APART = 5  # a million of them in nine and a half years
# Of twenty copies, which are of which job: by far the most are finished.
SHARES = {"certified": "< 17", "being_fitted": "= 17", "ordered": "= 18", "taken_on": "= 19"}
FIRST_NAMES = ["Ada", "Bela", "Cleo", "Dara", "Esme", "Fenn", "Greta", "Hugo", "Iris", "Jory"]
LAST_NAMES = ["Alder", "Birch", "Cedar", "Dunn", "Elder", "Fern", "Gorse", "Hazel", "Maple"]


@dataclass(frozen=True, slots=True)
class Part:
    """Rows of `model`, found from their job by `path`."""

    model: Any
    path: str
    evidence: bool = False


def _array(texts: list[str]) -> str:
    return "ARRAY[" + ", ".join(f"'{text}'" for text in texts) + "]"


PARTS = [
    Part(jobs.Customer, "jobs"),
    Part(jobs.Site, "jobs"),
    Part(jobs.Job, "pk"),
    Part(jobs.Opening, "job"),
    Part(jobs.Visit, "job"),
    Part(jobs.Visit.people.through, "visit__job"),
    Part(jobs.Doorset, "opening__job"),
    Part(jobs.Delivery, "doorset__opening__job"),
    Part(jobs.JournalStream, ""),
    Part(surveys.Survey, "opening__job"),
    Part(surveys.FitDecision, "survey__opening__job"),
    Part(installs.Installation, "doorset__opening__job"),
    Part(installs.Handover, "job"),
    Part(reports.Document, "job"),
    Part(reports.Dispatch, "document__job"),
    Part(jobs.JournalEntry, "", evidence=True),
    Part(surveys.Reading, "survey__opening__job", evidence=True),
    Part(installs.PlanStep, "installation__doorset__opening__job", evidence=True),
    Part(installs.Bead, "installation__doorset__opening__job", evidence=True),
    Part(installs.Fixing, "installation__doorset__opening__job", evidence=True),
    Part(installs.JunctionGap, "installation__doorset__opening__job", evidence=True),
    Part(installs.SashRecord, "installation__doorset__opening__job", evidence=True),
    Part(installs.Inspection, "step__installation__doorset__opening__job", evidence=True),
    Part(installs.Reading, "inspection__step__installation__doorset__opening__job", evidence=True),
]
# Those with ids of their own making; a copied letter tells of no entry of the journal.
COPIED = {part.model for part in PARTS} - {jobs.JournalEntry, jobs.JournalStream}
HAS_EVIDENCE = f"n % {EVIDENCE_ONE_IN} = 0"
OWN_VALUES = {
    (jobs.Job, "reference"): "'SW-' || 15 + n / 100000 || '-' || lpad((n % 100000)::text, 5, '0')",
    (jobs.Customer, "name"): (
        f"({_array(FIRST_NAMES)})[1 + n % {len(FIRST_NAMES)}] || ' ' || "
        f"({_array(LAST_NAMES)})[1 + n / 16 % {len(LAST_NAMES)}]"
    ),
    (jobs.Site, "town"): "'Sampleton ' || n % 500",
    (reports.Document, "verification_code"): "'copy' || lpad(n::text, 18, '0')",
    (reports.Document, "record"): f"CASE WHEN {HAS_EVIDENCE} THEN record ELSE '{{}}' END",
    (installs.Installation, "plan"): f"CASE WHEN {HAS_EVIDENCE} THEN plan ELSE '{{}}'::jsonb END",
    (reports.Dispatch, "message_id"): "n || '.' || message_id",
}


def copy_jobs(firm: Firm, first: int, last: int) -> None:
    """Copies `first` to `last`, the later the newer; needs a superuser, as no row is checked."""
    with connection.cursor() as cursor:
        cursor.execute("SET session_replication_role = replica")
        cursor.execute("SET synchronous_commit = off")
        for begin in range(first, last + 1, AT_ONCE):
            end = min(begin + AT_ONCE - 1, last)
            for stage in SHARES:
                for part in PARTS:
                    statement, rows = _copy(firm, part, stage)
                    cursor.execute(statement, [begin, end, rows])
        cursor.execute("RESET session_replication_role")
        cursor.execute("RESET synchronous_commit")
        cursor.execute("VACUUM (ANALYZE)")


def _copy(firm: Firm, part: Part, stage: str) -> tuple[str, list[Any]]:
    """The statement that copies this part of the job at this stage, and the rows it copies; to be
    given the first and the last number, and those rows."""
    fields = [f for f in part.model._meta.concrete_fields if not isinstance(f, models.AutoField)]
    into = ", ".join(f'"{field.column}"' for field in fields)
    values = ", ".join(_value(part.model, field, firm) for field in fields)
    wanted = f"n % 20 {SHARES[stage]}" + (f" AND {HAS_EVIDENCE}" if part.evidence else "")
    table, key = part.model._meta.db_table, part.model._meta.pk.column
    statement = (
        f'INSERT INTO "{table}" ({into}) SELECT {values} FROM "{table}" o, '  # noqa: S608 all of it is ours
        f'generate_series(%s, %s) n WHERE o."{key}" = ANY(%s) AND {wanted}'
    )
    rows = _rows(part, getattr(firm, stage)).values_list("pk", flat=True)
    return statement.replace(" % ", " %% "), list(rows)


def _rows(part: Part, job: jobs.Job) -> models.QuerySet[Any]:
    rows = part.model._default_manager.all()
    if part.model is jobs.JournalStream:
        return rows.filter(pk=job.journal_stream)
    if part.model is jobs.JournalEntry:
        return rows.filter(stream=job.journal_stream)
    return rows.filter(**{part.path: job.pk})


def _value(model: Any, field: Any, firm: Firm) -> str:
    """What a copy has in this column, in SQL over the row `o` and the number `n`."""
    column = f'o."{field.column}"'
    if own := OWN_VALUES.get((model, field.name)):
        return own
    if model is jobs.Visit.people.through and field.name == "person":
        fitters = _array([str(fitter.pk) for fitter in firm.fitters])
        return f"({fitters}::uuid[])[1 + n % {len(firm.fitters)}]"
    if jobs.JournalStream in (field.related_model, model) and field.name in ("name", "stream"):
        return f"'job:' || {_copied(f'substr({column}, 5)')}"
    if field.primary_key or field.related_model in COPIED:
        return _copied(column)
    if isinstance(field, models.DateTimeField):
        return f"{column} - ({MOST} - n) * interval '{MINUTES_APART} minutes'"
    return column


def _copied(identity: str) -> str:
    """The id of a copy: its number, then the end of the id it is copied from, so that the rows of a
    job lie together in every index as those made together do."""
    return f"(lpad(to_hex(n), 16, '0') || right(replace({identity}::text, '-', ''), 16))::uuid"
