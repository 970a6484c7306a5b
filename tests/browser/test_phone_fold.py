"""What a phone shows of a fitting without a network is what is on record once it was all sent."""

import json
from collections import Counter
from copy import deepcopy
from random import Random
from typing import Any

import pytest
from django.core.cache import cache
from django.db import transaction
from hypothesis import settings

from installs.models import Installation
from installs.phone.limits import limits_for_phone
from installs.phone.sheet_state import sheet_state
from installs.services.recording import lock_installation
from installs.state import InstallationState
from installs.templatetags.offline import offline_texts
from installs.views.part_states import junction_state, member_states, sash_state
from jobs.models import Person
from tests import factories
from tests.api import signed_in
from tests.browser.scripts import bare_page
from tests.installs.muddled_queue import muddled
from tests.installs.queue_session import Queue, whole_session

# From which step on the phone has no network, and up to which step the day goes then.
DAYS = (("", "bow"), ("plumb", "gasket_back"), ("fix_jambs", "run_leaves"), ("running_gear", ""))
# How a defect was dealt with is shown once it is sent: who may say so is not known on the phone.
LEFT_OUT = ("put_defect_right", "reinspect_defect")
MANY = settings.default.max_examples > 100
FOLD = """async ([state, limits, entries]) => {
  const { fold } = await import("/folding.js");
  const { stepState, junctionState, sashState, memberState } = await import("/sheet_parts.js");
  const { state: after, outcomes } = fold(state, limits, entries);
  const labels = (parts, labelOf) => Object.fromEntries(
    Object.entries(parts).map(([key, part]) => [key, labelOf(part, after.rules).label]));
  return {
    after,
    labels: {
      junctions: labels(after.junctions, junctionState),
      sashes: labels(after.sashes, sashState),
      members: labels(after.members, memberState),
    },
    decisions: [...outcomes.values()].map(({ decision }) => decision ?? ""),
  };
}"""


@pytest.fixture
def office(db):
    return factories.person("office")


@pytest.fixture
def fitter(office):
    return factories.person("fitter")


@pytest.fixture
def fitting(office, fitter):
    return factories.installation(office, fitter, factories.job(office))


@pytest.mark.parametrize("day", DAYS)
def test_the_folded_queue_is_the_state_after_it_was_sent(chromium, office, fitter, fitting, day):
    begun, until = day
    if begun:
        factories.fitted(fitter, fitting, until=begun)
    tape = factories.instrument(office)
    queue = whole_session(fitting, tape, Queue(), until)
    queue = [one for one in queue if one["kind"] not in LEFT_OUT]
    limits = _sent(limits_for_phone(fitter, fitting))
    reached: Counter[str] = Counter()
    with bare_page(chromium, str(offline_texts())) as page:
        for number in range(60 if MANY else 4):
            operations = muddled(_not_done(queue, fitting, begun), Random(f"{begun} {number}"))
            entries = [{"id": one["id"], "operation": one} for one in operations]
            with transaction.atomic():
                before = _state(fitter, fitting)
                folded = page.evaluate(FOLD, [before, limits, entries])
                _send(fitter, operations)
                expected, labels = _state(fitter, fitting), _labels(fitting)
                transaction.set_rollback(True)
            # What the service alone can judge stays noted.
            pairs = zip(folded["after"]["steps"], expected["steps"], strict=True)
            judged = [there if here["state"] == "noted" else here for here, there in pairs]
            folded["after"]["steps"] = judged
            assert _compared(folded["after"]) == _compared(expected), number
            assert folded["labels"] == labels, number
            reached.update(folded["decisions"])
    assert {"pass", "fail"} <= set(reached), reached


def _not_done(queue: list[Any], fitting: Installation, begun: str) -> list[Any]:
    """What comes from the step on that the phone lost its network at."""
    if not begun:
        return queue
    step = str(fitting.steps.get(code=begun).pk)
    numbers = [n for n, one in enumerate(queue) if one["body"].get("step") == step]
    return queue[max(0, numbers[0] - 12) :]


def _send(fitter: Person, operations: list[dict[str, Any]]) -> None:
    """As a phone does: again, as long as anything else is done by that."""
    client, waiting = signed_in(fitter), deepcopy(operations)
    while waiting:
        cache.clear()
        answer = client.post("/api/v1/sync/", {"operations": waiting[:200]})
        assert answer.status_code == 200, answer.content
        left = {one["id"] for one in answer.json()["results"] if one["result"] == "refused"}
        if len(left) == len(waiting):
            return
        waiting = [one for one in waiting if one["id"] in left]


def _state(fitter: Person, fitting: Installation) -> Any:
    return _sent(sheet_state(fitter, InstallationState(lock_installation(fitting.pk))))


def _labels(fitting: Installation) -> dict[str, dict[str, str]]:
    state = InstallationState(lock_installation(fitting.pk))
    plan = state.installation.plan
    numbers = [leaf.number for leaf in plan.leaves], [one.number for one in plan.junctions]
    return {
        "junctions": {str(n): junction_state(state, n).label for n in numbers[1]},
        "sashes": {str(n): sash_state(state, n).label for n in numbers[0]},
        "members": {name: shown.label for name, (shown, _) in member_states(state).items()},
    }


def _compared(state: Any) -> Any:
    """Without what was sent, and each list of records in an order of its own."""
    compared = {name: part for name, part in state.items() if name != "applied"}
    for member in compared["members"].values():
        member["fixings"].sort(key=lambda one: (one["position"], one["kind"]))
    return compared


def _sent(given: Any) -> Any:
    return json.loads(json.dumps(given))
