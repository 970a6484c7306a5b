"""How much memory one worker takes while it makes one certificate after the other.

    DATABASE_URL=postgres://... python -m tests.faults.study_worker_memory --certificates 200

Prints the memory of the process that does the work, and its peak so far, after every tenth of them;
exits with 1 when the peak of the second half is over that of the first by more than the share that
is let pass.
"""

import argparse
import sys
import time
from pathlib import Path

import django

from tests.faults.stage import Worker, stage
from tests.processes import children_of

# When memory is given back differs from run to run by a twentieth; a leak goes on.
LETS_PASS = 0.10
LONGEST_SECONDS = 3600
MB = 1024


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--certificates", type=int, default=200)
    given = parser.parse_args()
    with stage() as (folder, _, _):
        peaks = _study(given.certificates, folder)
    first, second = peaks[len(peaks) // 2 - 1], peaks[-1]
    print(f"peak {first} MB over the first half, {second} MB in the end")
    sys.exit(second > first * (1 + LETS_PASS))


def _study(count: int, folder: Path) -> list[int]:
    """The peak in MB after every tenth of the certificates."""
    django.setup()
    from django.core.management import call_command  # noqa: PLC0415 records need the stage

    from reports.models import Document  # noqa: PLC0415
    from reports.tasks import make_document  # noqa: PLC0415
    from tests import factories  # noqa: PLC0415
    from tests.reports.asked import asked_certificate  # noqa: PLC0415

    call_command("migrate", verbosity=0)
    call_command("load_rule_sets", verbosity=0)
    office = factories.person("office")
    for _ in range(count):
        make_document.delay(str(asked_certificate(office, factories.job(office)).pk))
    worker = Worker(folder, 0, "--concurrency", "1")
    worker.wait_until_ready()
    peaks: list[int] = []
    until = time.monotonic() + LONGEST_SECONDS
    while len(peaks) < 10 and time.monotonic() < until:
        made = Document.objects.made().count()
        if made >= (len(peaks) + 1) * count // 10:
            now, peak = _memory_of_work(worker)
            peaks.append(peak)
            print(f"{made} certificates made: {now} MB, peak {peak} MB", flush=True)
        time.sleep(0.2)
    worker.kill()
    return peaks


def _memory_of_work(worker: Worker) -> tuple[int, int]:
    """Resident memory and its peak, MB, of the largest process that the worker has started."""
    sizes = [_memory(child) for child in children_of(worker.process.pid)]
    return max(sizes, key=lambda size: size[1])


def _memory(process: int) -> tuple[int, int]:
    lines = Path(f"/proc/{process}/status").read_text(encoding="ascii").splitlines()
    figures = dict(line.split(":", 1) for line in lines)
    return int(figures["VmRSS"].split()[0]) // MB, int(figures["VmHWM"].split()[0]) // MB


if __name__ == "__main__":
    main()
