"""Two web processes under eight clients that ask as fast as they are answered, on this machine's
own address and for some seconds."""

import subprocess
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from http.client import HTTPConnection
from itertools import chain
from pathlib import Path
from statistics import median, quantiles

from benchmarks.scale.exemplars import Firm
from fixtures_demo.server import free_port, web_command
from tests.processes import children_of

PROCESSES, CLIENTS, SECONDS = 2, 8, 5.0
START_SECONDS = 40
MILLISECONDS = 1000
MEBIBYTE_IN_KIB = 1024


@dataclass(frozen=True, slots=True)
class Load:
    """Answers in a second, and the milliseconds of one in the middle and of the slowest hundredth;
    `failed` are those that were not answered well."""

    per_second: float
    median: float
    slowest: float
    failed: int


def loads(firm: Firm) -> Iterator[tuple[str, Load]]:
    """Name of what is asked for, and how it went; at last the memory of each process is printed."""
    token = {"Authorization": f"Token {firm.token_of(firm.office)}"}
    job = f"/api/v1/jobs/{firm.being_fitted.reference}/"
    asked = {
        "no query: is it alive": "/health/",
        "job, API": job,
        "list of jobs, API": "/api/v1/jobs/",
        "gates of a job, API": f"{job}gates/",
        "verification, page": f"/verify/{firm.paper.verification_code}/",
    }
    with _web_server() as (port, processes):
        for name, address in asked.items():
            yield name, _load(port, address, token)
        sizes = ", ".join(f"{_mebibytes(process):.0f} MB" for process in processes())
        print(f"memory of each process of the web server, the first starts the others: {sizes}")


def _load(port: int, address: str, headers: dict[str, str]) -> Load:
    until = time.perf_counter() + SECONDS
    with ThreadPoolExecutor(CLIENTS) as clients:
        asked = [clients.submit(_ask, port, address, headers, until) for _ in range(CLIENTS)]
        results = [each.result() for each in asked]
    spent = sorted(chain.from_iterable(times for times, _ in results))
    return Load(
        per_second=len(spent) / SECONDS,
        median=median(spent) * MILLISECONDS,
        slowest=quantiles(spent, n=100)[-1] * MILLISECONDS,
        failed=sum(failed for _, failed in results),
    )


def _ask(port: int, address: str, headers: dict[str, str], until: float) -> tuple[list[float], int]:
    connection = HTTPConnection("127.0.0.1", port, timeout=60)
    spent, failed = [], 0
    while (begun := time.perf_counter()) < until:
        connection.request("GET", address, headers=headers)
        answer = connection.getresponse()
        answer.read()
        spent.append(time.perf_counter() - begun)
        failed += answer.status != 200
    connection.close()
    return spent, failed


@contextmanager
def _web_server() -> Iterator[tuple[int, Callable[[], list[int]]]]:
    """Its port, and a way to ask for the ids of its processes."""
    port = free_port()
    server = subprocess.Popen([*web_command(port), "--workers", str(PROCESSES)])
    try:
        _wait_for(port)
        yield port, lambda: [server.pid, *children_of(server.pid)]
    finally:
        server.terminate()
        server.wait()


def _wait_for(port: int) -> None:
    until = time.monotonic() + START_SECONDS
    while time.monotonic() < until:
        try:
            connection = HTTPConnection("127.0.0.1", port, timeout=5)
            connection.request("GET", "/health/")
            connection.getresponse().read()
            return
        except OSError:
            time.sleep(0.2)
    raise TimeoutError("the web server did not start")


def _mebibytes(pid: int) -> float:
    """Its own memory, and its share of what it has in common with others."""
    for line in Path(f"/proc/{pid}/smaps_rollup").read_text().splitlines():
        if line.startswith("Pss:"):
            return int(line.split()[1]) / MEBIBYTE_IN_KIB
    raise LookupError(pid)
