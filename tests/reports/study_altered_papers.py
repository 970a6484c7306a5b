"""A certificate is altered in many ways, and the verification of the file alone has to find each.

    python -m tests.reports.study_altered_papers [FILE.pdf] --changes 2000 --seed 1

Without a file one is made. Prints how many were found and in what, and exits with 1 when one was
not.
"""

import argparse
import logging
import os
import sys
import tempfile
from collections import Counter
from itertools import islice
from pathlib import Path
from random import Random

import django

from tests.reports.altered import alterations, what_is_broken


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("paper", type=Path, nargs="?")
    parser.add_argument("--changes", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    # Damaged files make their reader complain at length.
    logging.disable(logging.CRITICAL)
    content = given.paper.read_bytes() if given.paper else own_certificate()
    if broken := what_is_broken(content):
        sys.exit(f"it is broken as it is: {broken.says}")
    counted, missed = Counter[str](), []
    for what, altered in islice(alterations(content, Random(given.seed)), given.changes):
        broken = what_is_broken(altered)
        counted[broken.about if broken else "not found"] += 1
        missed += [] if broken else [what]
    print(f"{given.changes} alterations of {len(content)} bytes: {dict(counted)}")
    for what in missed:
        print(f"NOT FOUND: {what}")
    sys.exit(bool(missed))


def own_certificate() -> bytes:
    """As the service makes one, in a folder of its own."""
    with tempfile.TemporaryDirectory(prefix="sillwright-study-") as folder:
        os.environ |= {
            "DJANGO_SETTINGS_MODULE": "config.settings",
            "DATABASE_URL": f"sqlite:///{folder}/study.sqlite3",
            "REDIS_URL": "",
            "CELERY_BROKER_URL": "",
            "SILLWRIGHT_DATA_DIR": folder,
        }
        django.setup()
        return _made()


def _made() -> bytes:
    from django.core.management import call_command  # noqa: PLC0415 records need the settings
    from django.db import connections  # noqa: PLC0415

    from reports.services.making import make_document  # noqa: PLC0415
    from tests import factories  # noqa: PLC0415
    from tests.reports.asked import provable_certificate  # noqa: PLC0415

    call_command("migrate", verbosity=0)
    office = factories.person("office")
    document = provable_certificate(office, factories.job(office))
    make_document(document_id=str(document.pk))
    document.refresh_from_db()
    with document.file.open("rb") as file:
        content = bytes(file.read())
    connections.close_all()
    return content


if __name__ == "__main__":
    main()
