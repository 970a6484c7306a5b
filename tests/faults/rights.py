"""What `test_rights` lets happen in a process of its own, on the database of `DATABASE_URL`:
`python -m tests.faults.rights begin`, `work`, `refused`, `beyond` or `erase`, the outcome as JSON.
"""

import json
import sys
from collections.abc import Callable
from typing import Any

import django
from django.db import Error, connection, transaction


def main() -> None:
    django.setup()
    commands: dict[str, Callable[[], Any]] = {
        "begin": begin,
        "work": work,
        "refused": refused,
        "beyond": beyond,
        "erase": erase,
    }
    print(json.dumps(commands[sys.argv[1]]()))


def begin() -> str:
    """People and a job, which factories date back as no service could: for the owner."""
    from tests import factories  # noqa: PLC0415

    office, _ = factories.person("office"), factories.person("fitter")
    return str(factories.job(office).pk)


def work() -> dict[str, Any]:
    """That job from survey to certificate, its paper and its seal; and another is taken on."""
    from jobs.idempotency import IdempotencyKey  # noqa: PLC0415
    from jobs.models import Job, JournalEntry, Person  # noqa: PLC0415
    from jobs.services.jobs import take_on_job  # noqa: PLC0415
    from jobs.services.seals import seal_streams  # noqa: PLC0415
    from reports.services.making import store_paper  # noqa: PLC0415
    from tests.reports.asked import asked_certificate  # noqa: PLC0415
    from tests.reports.fitted import fit_and_hand_over  # noqa: PLC0415

    office, fitter = (Person.objects.get(role_records__role=role) for role in ("office", "fitter"))
    job = Job.objects.get()
    fit_and_hand_over(office, fitter, job)
    like_it = {"customer": job.customer, "site": job.site, "rule_set": job.rule_set}
    take_on_job(actor=office, idempotency_key=IdempotencyKey(), title="Side door", **like_it)
    document = asked_certificate(office, job)
    letter = store_paper(document=document, pdf=b"%PDF-1.7")
    seal_streams()
    document.refresh_from_db()
    return {
        "entries": JournalEntry.objects.count(),
        "status": document.status,
        "letters": int(letter is not None),
    }


def refused() -> dict[str, dict[str, str]]:
    """Of every table of ours, what this role is answered when it changes each column, and when it
    deletes all rows: a sentence, or nothing where it was done."""
    from jobs.database_rights import OURS, models_with_tables  # noqa: PLC0415

    ours = [model for model in models_with_tables() if model._meta.app_label in OURS]
    return {model._meta.label: _answers(model) for model in ours}


def _answers(model: Any) -> dict[str, str]:
    table = connection.ops.quote_name(model._meta.db_table)
    changes = {
        f"change {field.name}": f'UPDATE {table} SET "{field.column}" = "{field.column}"'
        for field in model._meta.concrete_fields
    }
    statements = {**changes, "delete": f"DELETE FROM {table}", "empty": f"TRUNCATE {table} CASCADE"}
    return {name: _answer(statement) for name, statement in statements.items()}


def _answer(statement: str) -> str:
    """What PostgreSQL says of it; whatever it did is undone. A row that others refer to is not
    deleted either, but that is no refusal of a right."""
    try:
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(statement)
            transaction.set_rollback(True)
    except Error as refusal:
        return str(refusal).splitlines()[0]
    return ""


def beyond() -> list[str]:
    """What `manage.py check --deploy` says of the role."""
    from config.checks import role_cannot_change_the_journal  # noqa: PLC0415

    return [message.id or "" for message in role_cannot_change_the_journal(None)]


def erase() -> str:
    """What the erasure of the customer is refused for; nothing where it was done."""
    from jobs.errors import DomainError  # noqa: PLC0415
    from jobs.models import Customer  # noqa: PLC0415
    from upkeep.services.erasure import erase_customer  # noqa: PLC0415

    customer = Customer.objects.distinct().get(jobs__documents__isnull=False)
    try:
        erase_customer(
            actor=None,
            customer=customer,
            expected_version=customer.version,
            reason="asked for",
            in_spite_of_retention="a test",
        )
    except DomainError as refusal:
        return str(refusal)
    return ""


if __name__ == "__main__":
    main()
