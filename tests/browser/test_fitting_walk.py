"""What the fitting of a four-leaf doorset costs a crew on their phone, from plan to handover."""

import pytest
from playwright.sync_api import expect

from installs.models import Bead, Fixing, Handover, JunctionGap
from tests import factories
from tests.browser.conftest import PHONE
from tests.browser.fitting_walk import Walk

expect.set_options(timeout=20_000)
FEWER_SAVES_THAN = 40


@pytest.fixture
def visit(transactional_db):
    office, fitter = factories.person("office"), factories.person("fitter")
    job = factories.job(office)
    factories.released_doorset(office, factories.opening(office, job), fold="4-4-0")
    factories.instrument(office)
    gauge = {"kind": "gauge", "expanded_uncertainty": 0.2, "coverage_factor": 2}
    factories.instrument(office, name="Gap gauge", **gauge)
    return factories.visit_about_now(office, job, "fitting", fitter)


def test_a_four_leaf_doorset_takes_few_saves_and_no_page_that_nobody_opened(context_of, visit):
    """Run it with `-s` for the figures."""
    walk = Walk(context_of(visit.people.get(), PHONE).new_page())
    fitting = walk.plan(visit)
    walk.fit(fitting)
    walk.hand_over(fitting)
    print(f"\nsaves {walk.saves}, pages opened {walk.opened}, reloads {walk.reloads}")
    assert Handover.objects.count() == 1
    assert Bead.objects.exclude(put_back_at=None).count() == 4 * 4
    planned = [member.positions or () for member in fitting.plan.fixing_layout.members]
    assert Fixing.objects.count() == len([at for positions in planned for at in positions])
    assert JunctionGap.objects.count() == 2 * 5
    assert all(step.inspections.count() == 1 for step in fitting.steps.exclude(phase="handover"))
    assert walk.saves < FEWER_SAVES_THAN
    assert walk.reloads == 0
