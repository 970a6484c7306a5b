"""Two phones of one crew before the same doorset, both without a network for a while."""

import pytest
from playwright.sync_api import expect

from installs.models import JunctionGap, SetAside, SyncOperation
from jobs.services.journal_check import find_flaws
from tests import factories
from tests.browser.conftest import PHONE
from tests.browser.test_offline_queue import read_gaps, record_step, state

# The machine that runs this may be slow.
expect.set_options(timeout=20_000)


@pytest.fixture
def crew(transactional_db):
    return factories.person("fitter"), factories.person("fitter")


@pytest.fixture
def fitting(crew):
    """Set, fixed and glazed, up to its running gear; both are on its visit."""
    office = factories.person("office")
    job = factories.job(office)
    doorset = factories.released_doorset(office, factories.opening(office, job))
    planned = factories.planned(office, crew[0], doorset)
    factories.visit(office, job, "fitting", crew[1])
    factories.instrument(office)
    return factories.fitted(crew[0], planned, until="running_gear")


def cut(context):
    context.route("**/api/v1/sync/", lambda route: route.abort())


def test_both_record_the_same_and_each_their_own_and_all_of_it_is_there_once(
    context_of, crew, fitting
):
    """One finds that the frame bows; the other one's gaps wait for it to be right again."""
    phones = [context_of(person, PHONE) for person in crew]
    first, second = (phone.new_page() for phone in phones)
    for phone in phones:
        cut(phone)
    bow = fitting.steps.get(code="bow")
    record_step(first, bow, left_jamb_middle=5)
    read_gaps(first, fitting, 0)
    read_gaps(second, fitting, 0)
    read_gaps(second, fitting, 1)
    expect(state(first)).to_contain_text("2 waiting")
    expect(state(second)).to_contain_text("2 waiting")

    # The bow arrives first: nobody's gaps are taken, and nobody's are lost.
    for phone, page in zip(phones, (first, second), strict=True):
        phone.unroute("**/api/v1/sync/")
        page.goto("/queue/")
    expect(state(first)).to_contain_text("1 to decide")
    expect(state(second)).to_contain_text("2 to decide")
    assert not JunctionGap.objects.exists()

    # Put right on one phone, and both go on; what both read is on record once.
    record_step(first, bow)
    for page in (first, second):
        page.goto("/queue/")
        expect(state(page)).to_contain_text("all sent")
    assert sorted(gap.junction for gap in JunctionGap.objects.all()) == [0, 1]
    assert bow.inspections.count() == 2 + 1
    assert SyncOperation.objects.count() == 5
    assert not SetAside.objects.exists()
    assert list(find_flaws()) == []
