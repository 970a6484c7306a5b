"""What lists are searched by is found in PostgreSQL without reading every row: texts by their
trigrams (pg_trgm comes with PostgreSQL; whoever owns the database may switch it on), visits by the
end that they have before or after a time."""

from django.db import migrations, models

SEARCHED = {
    "jobs_job": ("reference", "title"),
    "jobs_customer": ("name",),
    "jobs_site": ("town",),
}


def _indexes():
    for table, columns in SEARCHED.items():
        for column in columns:
            yield f"{table}_{column}_trigrams", table, column


def index_trigrams(apps, schema_editor):
    if schema_editor.connection.vendor != "postgresql":
        return
    schema_editor.execute("CREATE EXTENSION IF NOT EXISTS pg_trgm")
    for name, table, column in _indexes():
        # As the framework asks for what contains a text, in whatever case.
        schema_editor.execute(
            f'CREATE INDEX {name} ON {table} USING gin (UPPER("{column}"::text) gin_trgm_ops)'
        )


def drop_trigrams(apps, schema_editor):
    """The extension stays: it may have been there before."""
    if schema_editor.connection.vendor != "postgresql":
        return
    for name, _, _ in _indexes():
        schema_editor.execute(f"DROP INDEX {name}")


class Migration(migrations.Migration):
    dependencies = [("jobs", "0009_crew_calendar")]

    operations = [
        migrations.RunPython(index_trigrams, drop_trigrams),
        migrations.AlterField("visit", "end", models.DateTimeField(db_index=True)),
    ]
