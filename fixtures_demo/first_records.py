"""Brings an empty database to where the demo begins: `python -m fixtures_demo.first_records`.

In one process, since each start of one costs as much as what it does here. The password of the
first person is read from NEW_PASSWORD, as by `manage.py add_person`.
"""

import django
from django.core.management import call_command

from fixtures_demo.server import OFFICE_NAME


def main() -> None:
    django.setup()
    # Models exist only once Django is set up.
    from jobs.models import Person  # noqa: PLC0415

    call_command("migrate", verbosity=0)
    if Person.objects.exists():
        # The demo's passwords are published; they have no place beside real people.
        raise SystemExit("This database holds people already. Give the demo an empty one.")
    call_command("load_rule_sets")
    call_command("add_person", OFFICE_NAME, role=["office"], first_name="Office")


if __name__ == "__main__":
    main()
