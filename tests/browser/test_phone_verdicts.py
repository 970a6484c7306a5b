"""A phone without a network decides about every reading as the service does."""

import json
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from math import inf, nextafter
from random import Random
from typing import Any

import pytest
from django.utils import timezone

from installs.arithmetic.conformity import Decision
from installs.arithmetic.criteria import judge_step, overall
from installs.arithmetic.decision_limits import decision_limits
from installs.phone.limits import limits_for_phone
from installs.services.gap_limits import judge_gap
from installs.services.inspecting import criteria_of
from installs.services.recording import arithmetic_facts
from surveys.models import Instrument
from tests import factories
from tests.browser.scripts import bare_page

CONFIDENCE = 0.95
# Of every kind, with what tells how good it is.
KINDS: list[dict[str, Any]] = [
    {"accuracy_class": "I", "kind": "tape"},
    {"accuracy_class": "II", "kind": "tape", "from_end_hook": True},
    {"accuracy_class": "III", "kind": "tape"},
    {"kind": "laser", "expanded_uncertainty": 1.0, "coverage_factor": 2},
    {"kind": "laser", "expanded_uncertainty": 0.4, "coverage_factor": 2},
    {"kind": "level", "expanded_uncertainty": 0.5, "coverage_factor": 2},
    {"kind": "gauge", "expanded_uncertainty": 0.1, "coverage_factor": 2},
]
# Each [body, ...]: what the phone decides of all of them.
DECIDE_STEPS = """async ([bodies, limits]) => {
  const { judgeReadings } = await import("/judging.js");
  return bodies.map((body) => judgeReadings(body, limits)?.map(({ decision }) => decision));
}"""
DECIDE_GAPS = """async ([bodies, limits]) => {
  const { judgeGap } = await import("/judging.js");
  return bodies.map((body) => judgeGap(body, limits));
}"""


@pytest.fixture
def fitter(db):
    return factories.person("fitter")


@pytest.fixture
def fitting(fitter):
    office = factories.person("office")
    planned = factories.installation(office, fitter, factories.job(office))
    for kind in KINDS:
        factories.instrument(office, **kind)
    assert planned.rule_set.rules["decision.confidence"] == CONFIDENCE
    return planned


def test_every_reading_of_every_step_is_decided_alike(chromium, fitter, fitting):
    limits = limits_for_phone(fitter, fitting)
    bodies, expected = _judged_by_the_service(fitting, limits, Random(1))
    assert len(bodies) > 10_000
    with bare_page(chromium) as page:
        decided = page.evaluate(DECIDE_STEPS, [bodies, _as_sent(limits)])
    assert decided == expected
    reached = Counter(overall(iter(decisions)) for decisions in expected)
    assert min(reached.values()) > 500, reached


def test_gaps_are_decided_alike_by_their_difference_and_their_sum(chromium, fitter, fitting):
    gear, chance = fitting.plan.running_gear, Random(2)
    limits = limits_for_phone(fitter, fitting)
    bodies, expected = [], []
    for key in limits["gaps"]["by_instrument"]:
        facts = arithmetic_facts(Instrument.objects.get(pk=key))
        for _ in range(2000):
            head = round(max(0.0, chance.gauss(gear.leaf_gap, 1.5)), chance.choice((0, 1, 2)))
            sill = round(max(0.0, chance.gauss(head, 1.0)), chance.choice((0, 1, 2)))
            bodies.append({"instrument": key, "head_gap": head, "sill_gap": sill})
            expected.append(judge_gap(gear, head, sill, facts, CONFIDENCE).decision)
    with bare_page(chromium) as page:
        decided = page.evaluate(DECIDE_GAPS, [bodies, _as_sent(limits)])
        finer = [{**bodies[0], "head_gap": 4.2345, "sill_gap": 4.1}]
        assert page.evaluate(DECIDE_GAPS, [finer, _as_sent(limits)]) == [None]
    assert decided == expected
    assert min(Counter(expected).values()) > 200, Counter(expected)


def test_gaps_of_a_plan_that_judges_their_difference_alone_are_decided_alike(
    chromium, fitter, fitting
):
    gear = replace(fitting.plan.running_gear, leaf_gap=None, together_tolerance=None)
    fitting.plan = replace(fitting.plan, running_gear=gear)
    limits = limits_for_phone(fitter, fitting)
    assert limits["tables"] == []
    key = next(iter(limits["gaps"]["by_instrument"]))
    facts = arithmetic_facts(Instrument.objects.get(pk=key))
    gaps = [(4 + tenths / 10, 4.0) for tenths in range(-30, 31)]
    bodies = [{"instrument": key, "head_gap": head, "sill_gap": sill} for head, sill in gaps]
    with bare_page(chromium) as page:
        decided = page.evaluate(DECIDE_GAPS, [bodies, _as_sent(limits)])
    assert decided == [judge_gap(gear, *pair, facts, CONFIDENCE).decision for pair in gaps]
    assert set(decided) == {"pass", "inconclusive", "fail"}


def test_an_instrument_that_is_out_of_calibration_or_does_not_fit_has_no_limits(fitter, fitting):
    coarse = factories.instrument(
        factories.person("office"), kind="level", expanded_uncertainty=9.0, coverage_factor=2
    )
    known = Instrument.objects.exclude(pk=coarse.pk).order_by("pk").first()
    yesterday = timezone.localdate() - timedelta(days=1)
    Instrument.objects.filter(pk=known.pk).update(calibration_due=yesterday)
    named = limits_for_phone(fitter, fitting)["instruments"]
    assert str(coarse.pk) not in named
    assert str(known.pk) not in named


def test_what_a_phone_keeps_is_small(fitter, fitting):
    """Eight instruments and a doorset of five leaves; 30 kB would be noticed at the edge of a
    network."""
    text = json.dumps(limits_for_phone(fitter, fitting), separators=(",", ":"))
    assert len(text) < 30_000


def _judged_by_the_service(
    fitting: Any, limits: dict[str, Any], chance: Random
) -> tuple[list[dict[str, Any]], list[list[Decision]]]:
    bodies, expected = [], []
    for step in fitting.steps.all():
        by_instrument = limits["steps"].get(str(step.pk), {}).get("by_instrument", {})
        criteria = criteria_of(step)
        for key in by_instrument:
            facts = arithmetic_facts(Instrument.objects.get(pk=key))
            for readings in _readings(criteria, facts, chance):
                judged = judge_step(criteria, readings, facts, CONFIDENCE)
                placed = [{"place": at, "value": value} for at, value in readings.items()]
                bodies.append({"step": str(step.pk), "instrument": key, "readings": placed})
                expected.append([one.decision for one in judged])
    return bodies, expected


def _readings(criteria: Any, facts: Any, chance: Random) -> Iterator[dict[str, float]]:
    """By chance around the limits, at and beside each of them and of each edge, and blunders."""
    places = {place: one for one in criteria.values() for place in one.of}
    for _ in range(300):
        yield {place: _near(one, chance) for place, one in places.items()}
    for criterion in criteria.values():
        edges = decision_limits(criterion, facts, CONFIDENCE).edges
        given = [limit for limit in (criterion.lower, criterion.upper) if limit is not None]
        for at in (*edges, *given):
            for value in (at, nextafter(at, inf), nextafter(at, -inf), at + 0.01, at - 0.01):
                readings = dict.fromkeys(places, 0.0 if criterion.lowest < 0 else 2100.0)
                first = criterion.of[0]
                yield readings | {first: readings[first] + value}
    for blunder in (0.0, 2.04, -50.0, 50.0, 5000.0):
        yield {place: _near(one, chance) for place, one in places.items()} | {
            chance.choice(list(places)): blunder
        }


def _near(criterion: Any, chance: Random) -> float:
    limit = criterion.upper
    spread = limit if criterion.method == "direct" else limit / 2
    middle = 0.0 if criterion.lowest < 0 else 2100.0
    return round(middle + chance.gauss(0, spread), chance.choice((0, 1, 2)))


def _as_sent(limits: dict[str, Any]) -> Any:
    return json.loads(json.dumps(limits))
