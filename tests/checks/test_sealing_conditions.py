"""Dew points and what a joint may be sealed at, against published figures and steam tables."""

from datetime import date

import pytest

from installs.arithmetic.sealing_conditions import (
    SealingConditions,
    dew_point,
    sealing_shortfalls,
)
from installs.services.sealing import sealing_rules
from tests.checks.rule_sets import RULE_SETS, name_of

DAY = date(2026, 11, 27)


# Published: a firm that dries buildings (trocknungberlin.de, dew point): 22 C at 70 % has its dew
# point at 16.3 C, at 45 % at 9.5 C. A maker of coatings (glossary, dew point): 30 C at 55 % wets
# what is at 20 C. Guidance on adhesives prints 60 F at 90 % as 57 F and 70 F at 50 % as 50 F.
@pytest.mark.parametrize(
    ("air", "humidity", "published", "to"),
    [
        (22, 70, 16.3, 0.05),
        (22, 45, 9.5, 0.05),
        (30, 55, 20.0, 0.1),
        (15.56, 90, 13.9, 0.3),
        (21.11, 50, 10.0, 0.6),
    ],
)
def test_dew_points_are_those_of_published_tables(air, humidity, published, to):
    assert dew_point(air, humidity) == pytest.approx(published, abs=to)


# Steam tables (IAPWS-IF97, saturation over water in hPa): 0.01 C 6.117, 10 C 12.28, 20 C 23.39,
# 30 C 42.47.
@pytest.mark.parametrize(
    ("air", "dew", "humidity"),
    [
        (20, 10, 100 * 12.28 / 23.39),
        (30, 20, 100 * 23.39 / 42.47),
        (30, 10, 100 * 12.28 / 42.47),
        (10, 0.01, 100 * 6.117 / 12.28),
    ],
)
def test_dew_points_are_those_of_steam_tables(air, dew, humidity):
    assert dew_point(air, humidity) == pytest.approx(dew, abs=0.05)


def test_air_that_is_full_of_water_has_its_dew_point_where_it_is():
    assert dew_point(12.3, 100) == pytest.approx(12.3)


NEWEST = [rules for rules in RULE_SETS if "sealant.above_dew_point" in rules.rules]


# Published: ISO 8502-4: a surface at least 3 C above the dew point. 12 C and 85 % have theirs at
# 9.6 C by the table of steam pressures above.
@pytest.mark.parametrize("rules", NEWEST, ids=name_of)
@pytest.mark.parametrize(
    ("read", "words"),
    [
        ({"surface": 12.7, "air": 12, "humidity": 85}, None),
        ({"surface": 12.4, "air": 12, "humidity": 85}, "above the dew point of 9.6 C"),
        ({"surface": 4}, "5 to 40 C is allowed"),
        ({"surface": 41}, "5 to 40 C is allowed"),
        ({"surface": 5}, None),
        ({"use_by": DAY}, None),
        ({"use_by": date(2026, 11, 26)}, "to be used by 2026-11-26"),
        ({}, None),
    ],
)
def test_a_joint_is_sealed_warm_dry_and_with_a_fresh_sealant(rules, read, words):
    shortfalls = sealing_shortfalls(SealingConditions(day=DAY, **read), sealing_rules(rules))
    assert [words in shortfall for shortfall in shortfalls] == ([True] if words else [])
