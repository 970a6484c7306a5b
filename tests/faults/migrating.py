"""What `test_migrations` lets happen in a process of its own, on the database of `DATABASE_URL`:
`python -m tests.faults.migrating fill`, `survive APP`, or `again`.

The outcome is printed as JSON.
"""

import json
import sys
from collections.abc import Callable
from io import StringIO
from typing import Any

import django
from django.apps import apps
from django.core.management import call_command
from django.db import connection
from django.db.migrations.loader import MigrationLoader

OURS = ("jobs", "surveys", "installs", "reports")
# Of each table, by column, the values in the order of their rows.
Content = dict[str, dict[str, list[str]]]


def main() -> None:
    django.setup()
    command, *names = sys.argv[1:]
    commands: dict[str, Callable[..., dict[str, Any]]] = {
        "fill": fill,
        "survive": survive,
        "again": again,
    }
    print(json.dumps(commands[command](*names)))


def fill() -> dict[str, Any]:
    """One job from survey to certificate."""
    from reports.services.making import store_paper  # noqa: PLC0415
    from tests import factories  # noqa: PLC0415
    from tests.reports.asked import asked_certificate  # noqa: PLC0415
    from tests.reports.fitted import handed_over_job  # noqa: PLC0415

    migrate()
    office, fitter = factories.person("office"), factories.person("fitter")
    job = handed_over_job(office, fitter)
    store_paper(document=asked_certificate(office, job), pdf=b"%PDF-1.7")
    return {"rows": _rows()}


def survive(app: str) -> dict[str, Any]:
    """Back by one and forward again; what differs of all that the older shape could hold."""
    from surveys.models import Instrument  # noqa: PLC0415

    Instrument.objects.filter(kind="gauge").update(kind="laser")
    before = content()
    last = sorted(name for of, name in MigrationLoader(None).graph.nodes if of == app)
    migrate(app, last[-2])
    between = content()
    migrate()
    after = content()
    call_command("migrate", check_unapplied=True, verbosity=0, stdout=StringIO())
    return {
        "held": sum(map(len, between.values())),
        "differs": [*_differences(between, before), *_differences(between, after)],
        "broken": _broken_but_for(_lost(before, between)),
    }


def _lost(before: Content, between: Content) -> set[str]:
    """Names of columns that the older shape does not have."""
    return {
        column
        for table, columns in before.items()
        for column in columns
        if column not in between.get(table, {})
    }


def _broken_but_for(lost: set[str]) -> list[str]:
    """What the journal finds, but for columns that were away: their values are gone, as it says."""
    from jobs.services.verifying import verify_everything  # noqa: PLC0415

    found = verify_everything()
    kept = [one for one in found.contradictions if one.place not in lost]
    return [str(one) for one in [*found.flaws, *kept]]


def again() -> dict[str, Any]:
    """All of ours back to nothing, and forward again."""
    for app in reversed(OURS):
        migrate(app, "zero")
    left = sorted(content())
    migrate()
    call_command("migrate", check_unapplied=True, verbosity=0, stdout=StringIO())
    return {"tables_left": left, "rows": _rows()}


def _rows() -> int:
    return sum(len(next(iter(columns.values()))) for columns in content().values())


def migrate(*to: str) -> None:
    call_command("migrate", *to, verbosity=0, stdout=StringIO())


def content() -> Content:
    """Every table of ours that there is at the moment, whatever its shape."""
    tables = {
        model._meta.db_table for app in OURS for model in apps.get_app_config(app).get_models()
    }
    return {name: _columns(name) for name in sorted(tables & set(_there()))}


def _there() -> list[str]:
    return connection.introspection.table_names()


def _columns(table: str) -> dict[str, list[str]]:
    with connection.cursor() as cursor:
        cursor.execute(f'SELECT * FROM "{table}" ORDER BY 1')
        names = [column[0] for column in cursor.description]
        rows = cursor.fetchall()
    return {name: [str(row[place]) for row in rows] for place, name in enumerate(names)}


def _differences(wanted: Content, content: Content) -> list[str]:
    return [
        f"{table}.{column}"
        for table, columns in wanted.items()
        for column, values in columns.items()
        if content.get(table, {}).get(column) != values
    ]


if __name__ == "__main__":
    main()
