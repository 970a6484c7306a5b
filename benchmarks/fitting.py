"""The calculations of the fitting, each against a plainer way where there is an honest one."""

from itertools import combinations, pairwise

import numpy as np
from scipy.optimize import linprog
from scipy.stats import norm

from benchmarks.case import Case
from installs.arithmetic.chains import ChainJunction, RunningGearRequest, Support
from installs.arithmetic.conformity import judge_conformity
from installs.arithmetic.fixing_layout import lay_out_fixings
from installs.arithmetic.glazing_plan import GlazedLeaf, plan_glazing
from installs.arithmetic.joint_movement import JointRequest, judge_joint
from installs.arithmetic.lift import LiftRequest, plan_lift
from installs.arithmetic.members import FixingRules, Member
from installs.arithmetic.running_gear import set_running_gear
from installs.services.calculation_rules import block_rules, joint_rules, lift_rules
from jobs.arithmetic.fold import parse_fold
from jobs.rule_texts import read_rules, shipped_rule_set_texts

RULES = read_rules(shipped_rule_set_texts()[0])
SMALL_MEMBER = Member("small", 60.0, kept_out=((25.0, 31.0),))
SMALL_RULES = FixingRules(5, 12, 20, 2, 0, 20, 1)
LONG_RULES = FixingRules(150, 200, 600, 2, 0, 400, 50)
GAPS = ((5, 5), (6, 4), (7, 3), (5.5, 4.5), (4, 6), (4, 6))
SUPPORTS: tuple[Support, ...] = ("hinge", "none", "carrier", "none", "carrier", "none")


def cases() -> list[Case]:
    return [
        _conformity(),
        _small_layout(),
        Case(
            "fixing-layout, a sill of 6 m",
            lambda: lay_out_fixings([Member("sill", 6000.0)], LONG_RULES),
        ),
        _running_gear(),
        Case("glazing-plan, five sashes", _glazing),
        Case("lift", lambda: plan_lift(LiftRequest(30, 2), lift_rules(RULES))),
        Case("joint", lambda: judge_joint(STRIP, joint_rules(RULES))),
    ]


STRIP = JointRequest(3600, "aluminium", 90, 25, 9)


def _conformity() -> Case:
    def ours() -> float:
        return judge_conformity(13.6, 1.8, 12.5, 16.3, 0.95).probability_conforms

    def theirs() -> float:
        return float(norm.cdf(16.3, 13.6, 1.8) - norm.cdf(12.5, 13.6, 1.8))

    def agree() -> None:
        assert abs(ours() - theirs()) < 1e-12

    return Case("conformity", ours, theirs, "scipy.stats.norm.cdf, twice", agree)


def _small_layout() -> Case:
    def ours() -> tuple[int, ...] | None:
        return lay_out_fixings([SMALL_MEMBER], SMALL_RULES)[0].positions

    def agree() -> None:
        assert ours() == _exhaustive_layout()

    return Case(
        "fixing-layout, 60 mm", ours, _exhaustive_layout, "every layout that keeps the rules", agree
    )


def _exhaustive_layout() -> tuple[int, ...]:
    """Fewest, then smallest largest centre, then greatest smallest one, then least squares."""
    allowed = [place for place in range(61) if not 25 < place < 31]
    for count in range(2, 7):
        kept = [
            layout
            for layout in combinations(allowed, count)
            if 5 <= layout[0] <= 12
            and 48 <= layout[-1] <= 55
            and all(b - a <= 20 for a, b in pairwise(layout))
        ]
        if kept:
            return min(kept, key=_order)
    raise AssertionError("the small member has a layout")


def _order(layout: tuple[int, ...]) -> tuple[int, int, int]:
    centres = [b - a for a, b in pairwise(layout)]
    return max(centres), -min(centres), sum(centre * centre for centre in centres)


def _running_gear() -> Case:
    junctions = tuple(
        ChainJunction(700.0 * index, support, head, sill)
        for index, (support, (head, sill)) in enumerate(zip(SUPPORTS, GAPS, strict=True))
    )
    request = RunningGearRequest(junctions, 3.0, 1.0, 1.0)

    def ours() -> float:
        return max(map(abs, set_running_gear(request).residual))

    def agree() -> None:
        assert abs(ours() - _plain_programme()) < 1e-5

    return Case(
        "running-gear, five leaves", ours, _plain_programme, "scipy.optimize.linprog, once", agree
    )


def _plain_programme() -> float:
    """The first of the two programmes, written down by hand for this one chain."""
    difference = np.array([head - sill for head, sill in GAPS])
    follows = np.array([[0, 0], [0.5, 0], [1, 0], [0.5, 0.5], [0, 1], [0, 1]])
    largest = np.ones((6, 1))
    optimum = linprog(
        [0, 0, 1],
        A_ub=np.vstack([np.hstack([-2 * follows, -largest]), np.hstack([2 * follows, -largest])]),
        b_ub=np.concatenate([-difference, difference]),
        bounds=[(-3, 3), (-3, 3), (0, None)],
        method="highs",
    )
    return float(optimum.fun)


def _glazing() -> object:
    leaves = [GlazedLeaf(number, 700, 2000, 30) for number in range(1, 6)]
    return plan_glazing(parse_fold("5-3-2"), leaves, block_rules(RULES), toe_and_heel_device=False)
