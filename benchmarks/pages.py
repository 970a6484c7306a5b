"""`python -m benchmarks.pages`: the time of every page among many jobs, beside its own floor, which
is the time of its queries and templates within the same opening of the page."""

import argparse
import os
import shutil
import tempfile
from typing import Any

import django

REPEATS = 9


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--jobs", type=int, default=10_000)
    jobs = parser.parse_args().jobs
    folder = tempfile.mkdtemp(prefix="sillwright-pages-")
    os.environ |= {
        "ALLOWED_HOSTS": "testserver",
        "DJANGO_SETTINGS_MODULE": "config.settings",
        "SILLWRIGHT_DATA_DIR": folder,
        "THROTTLE_USER": "100000/min",
        "LOG_LEVEL": "CRITICAL",
    }
    for name in ("DATABASE_URL", "REDIS_URL", "CELERY_BROKER_URL"):
        os.environ.pop(name, None)
    try:
        _measure(jobs)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _measure(jobs: int) -> None:
    django.setup()
    from django.core.management import call_command  # noqa: PLC0415 records need the settings

    from benchmarks.crowded_firm import crowded_firm  # noqa: PLC0415

    call_command("migrate", verbosity=0)
    call_command("load_rule_sets", verbosity=0)
    firm = crowded_firm(jobs)
    print(f"Among {jobs} jobs; milliseconds of the processor, best of {REPEATS}")
    print(f"{'page':20} {'queries':>7} {'page':>8} {'floor':>8}   ratio")
    _tell(firm)


def _tell(firm: Any) -> None:
    from benchmarks.page_floor import PageVisit  # noqa: PLC0415

    for name, (person, address) in _pages(firm).items():
        visit = PageVisit(person, address)
        page, floor = min(visit.measure() for _ in range(REPEATS))
        print(f"{name:20} {visit.queries:7} {page:8.1f} {floor:8.1f}   {page / floor:.2f}")


def _pages(firm: Any) -> dict[str, tuple[Any, str]]:
    """Name -> who opens it, and its address."""
    job, fitting = f"/jobs/{firm.job.reference}/", f"/fittings/{firm.installation.pk}/"
    opening = f"{job}openings/2/"
    office = {
        "diary": "/diary/",
        "jobs": "/jobs/",
        "jobs, searched": "/jobs/?q=customer+77",
        "customers": "/customers/",
        "job": job,
        "journal": f"{job}journal/",
        "doorset": f"{opening}doorset/",
        "order": f"{opening}order/",
        "survey": f"{opening}survey/",
    }
    fitter = {
        "today": "/today/",
        "fitting sheet": fitting,
        "step": f"{fitting}steps/7/",
        "junction": f"{fitting}junctions/2/",
        "sash": f"{fitting}sashes/2/",
        "member": f"{fitting}members/head/",
        "defects": f"{fitting}defects/",
    }
    return (
        {name: (firm.office, address) for name, address in office.items()}
        | {name: (firm.fitter, address) for name, address in fitter.items()}
        | {"verification": (None, f"/verify/{firm.paper.verification_code}/")}
    )


if __name__ == "__main__":
    main()
