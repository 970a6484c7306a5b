"""What office, fitter and customer ask for all day, each with its queries and its time per call."""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import cycle
from time import perf_counter
from typing import Any
from uuid import uuid4

from django.test import Client
from django.utils import timezone

from benchmarks.scale.exemplars import Firm
from benchmarks.scale.statements import noted
from surveys.models import Instrument

WARM_UPS = 2
# A call that takes seconds is not repeated as often as one that takes milliseconds.
REPEATS, SECONDS = 15, 6.0
MILLISECONDS = 1000


@dataclass(frozen=True, slots=True)
class Measured:
    """Queries of one call, and its milliseconds by the clock at best: what else the machine does
    only ever adds to it."""

    queries: int
    best: float


def calls(firm: Firm) -> dict[str, Callable[[], Any]]:
    """Name of a call -> doing it; each raises when it is not answered well."""
    office, fitter, nobody = _page(firm.office), _page(firm.fitters[7]), Client()
    api, fitter_api = _api(firm.token_of(firm.office)), _api(firm.token_of(firm.fitter))
    job = firm.being_fitted.reference
    return {
        "list of jobs, API": _get(api, "/api/v1/jobs/"),
        "list of jobs, page": _get(office, "/jobs/"),
        "a fitter's own jobs, page": _get(fitter, "/jobs/"),
        "a fitter's day, page": _get(fitter, "/today/"),
        "search by reference": _get(office, f"/jobs/?q={job}"),
        "search by a customer": _get(office, "/jobs/?q=Cleo+Maple"),
        "search for what is not there": _get(office, "/jobs/?q=Nobody+Here"),
        "jobs at a rare stage": _get(office, "/jobs/?stage=delivered"),
        "job, page": _get(office, f"/jobs/{firm.certified.reference}/"),
        "job, API": _get(api, f"/api/v1/jobs/{job}/"),
        "gates of a job, API": _get(api, f"/api/v1/jobs/{job}/gates/"),
        "one operation of a phone, API": _sync(fitter_api, firm),
        "verification, page": _get(nobody, f"/verify/{firm.paper.verification_code}/"),
    }


def measure(call: Callable[[], Any]) -> Measured:
    for _ in range(WARM_UPS):
        call()
    with noted() as statements:
        call()
    spent: list[float] = []
    while len(spent) < REPEATS and (len(spent) < 3 or sum(spent) < SECONDS):
        begun = perf_counter()
        call()
        spent.append(perf_counter() - begun)
    return Measured(len(statements), min(spent) * MILLISECONDS)


def _page(person: Any) -> Client:
    client = Client()
    client.force_login(person)
    return client


def _api(token: str) -> Client:
    return Client(headers={"Authorization": f"Token {token}"})


def _get(client: Client, address: str) -> Callable[[], Any]:
    def call() -> None:
        answer = client.get(address)
        assert answer.status_code == 200, f"{address}: {answer.status_code}"

    return call


def _sync(client: Client, firm: Firm) -> Callable[[], Any]:
    """A gap read on site, as a phone sends it; every call is another reading."""
    tape = Instrument.objects.filter(kind=Instrument.Kind.TAPE).latest("created_at")
    # The same reading sent again would count as recorded.
    gaps = cycle((4.5, 4.6))

    def call() -> None:
        operation = {
            "id": str(uuid4()),
            "kind": "record_gap",
            "record": str(uuid4()),
            "base_version": None,
            "after": None,
            "made_at": timezone.now().isoformat(),
            "body": {
                "installation": str(firm.installation.pk),
                "junction": 1,
                "head_gap": next(gaps),
                "sill_gap": 4.5,
                "instrument": str(tape.pk),
            },
        }
        answer = client.post(
            "/api/v1/sync/", {"operations": [operation]}, content_type="application/json"
        )
        assert b'"result":"applied"' in answer.content, answer.content

    return call
