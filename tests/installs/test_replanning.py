"""What was read or conceded of a plan that is made anew."""

from dataclasses import replace

import pytest

from installs.conditions import members_without_layout
from installs.models import Defect, Inspection, Installation, SitePhoto
from installs.services.concessions import concede
from installs.services.defects import record_defect
from installs.services.photos import add_site_photo
from installs.services.replanning import replan_installation
from installs.state import InstallationState
from jobs.errors import InvalidField
from jobs.idempotency import IdempotencyKey
from tests import factories
from tests.pictures import picture

pytestmark = pytest.mark.django_db


@pytest.fixture
def replaced(office, installation, step):
    """A step that was read before the plan was made anew, and is used after it."""
    read_before = step("sill_level")
    replan_installation(
        actor=office, installation=installation, expected_version=1, reason="Another crew comes."
    )
    return read_before


def test_an_inspection_of_a_replaced_step_is_refused(fitter, replaced):
    with pytest.raises(InvalidField, match="/step: the plan was made anew meanwhile"):
        factories.inspection(fitter, replaced)
    assert not Inspection.objects.exists()


def test_a_defect_of_a_replaced_step_is_refused(fitter, installation, replaced):
    with pytest.raises(InvalidField, match="/step: the plan was made anew meanwhile"):
        record_defect(
            actor=fitter,
            idempotency_key=IdempotencyKey(),
            installation=installation,
            step=replaced,
            severity="minor",
            description="Scratch on the sill",
        )
    assert not Defect.objects.exists()


def test_a_photo_of_a_replaced_step_is_refused_and_leaves_no_file(
    fitter, installation, replaced, settings
):
    with pytest.raises(InvalidField, match="/step: the plan was made anew meanwhile"):
        add_site_photo(
            actor=fitter,
            idempotency_key=IdempotencyKey(),
            installation=installation,
            step=replaced,
            content=picture(),
        )
    assert not SitePhoto.objects.exists()
    assert not list(settings.MEDIA_ROOT.rglob("*.jpg"))


def without_layout(installation: Installation) -> list[str]:
    """The members that stand in the way once the plan has no layout for the left jamb."""
    installation.refresh_from_db()
    layout = installation.plan.fixing_layout
    left, *others = layout.members
    left = replace(left, positions=None, reason="the track is in the way")
    layout = replace(layout, members=(left, *others))
    installation.plan = replace(installation.plan, fixing_layout=layout)
    Installation.objects.filter(pk=installation.pk).update(plan=installation.plan)
    return [blocker.what for blocker in members_without_layout(InstallationState(installation))]


def test_what_was_conceded_of_a_plan_goes_for_none_made_after_it(office, installation):
    assert len(without_layout(installation)) == 1
    concede(
        actor=office,
        idempotency_key=IdempotencyKey(),
        installation=installation,
        code="fixing_layout",
        reason="Straps, by the engineer's letter.",
    )
    assert without_layout(installation) == []
    replan_installation(
        actor=office, installation=installation, expected_version=1, reason="Another crew comes."
    )
    assert len(without_layout(installation)) == 1
