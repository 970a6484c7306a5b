"""What each role may do: one table, which closes every door that it does not name."""

import re
from pathlib import Path

import pytest

from jobs.api.viewsets import RecordViewSet, required_capability
from jobs.capabilities import ROLE_CAPABILITIES, ROLE_VISIT_KINDS, Capability, Role, VisitKind
from jobs.models import Crew, Customer, Job, Visit
from tests import factories

PROJECT_DIR = Path(__file__).resolve().parent.parent.parent


def test_every_role_has_its_line_in_both_tables():
    assert set(ROLE_CAPABILITIES) == set(ROLE_VISIT_KINDS) == set(Role)
    assert all(Capability.READ in capabilities for capabilities in ROLE_CAPABILITIES.values())


def test_every_kind_of_visit_is_made_by_somebody():
    made = frozenset().union(*ROLE_VISIT_KINDS.values())
    assert made == set(VisitKind)


def test_the_office_alone_administers():
    holders = {role for role, held in ROLE_CAPABILITIES.items() if Capability.ADMINISTER in held}
    assert holders == {Role.OFFICE}


def test_an_action_that_a_view_forgot_is_for_the_office_alone():
    assert required_capability(RecordViewSet(), "forgotten") == Capability.ADMINISTER


@pytest.mark.django_db
def test_a_role_that_is_in_no_table_sees_and_may_nothing():
    person = factories.person("fitter")
    job = factories.job(factories.person("office"))
    factories.visit(factories.person("office"), job, Visit.Kind.FITTING, person)
    assert Job.objects.visible_to(person).exists()
    person.narrowed_to = frozenset({"glazier"})
    assert person.capabilities == frozenset()
    for model in (Job, Customer, Visit):
        assert not model.objects.visible_to(person).exists()
    assert Crew.objects.visible_to(person).exists(), "whoever is in a crew knows of it"


@pytest.mark.django_db
def test_roles_add_up():
    person = factories.person("surveyor", "fitter")
    held = ROLE_CAPABILITIES[Role.SURVEYOR] | ROLE_CAPABILITIES[Role.FITTER]
    assert person.capabilities == held
    assert person.visit_kinds == set(VisitKind)


def test_pages_ask_for_capabilities_that_exist():
    asked = {
        name
        for template in PROJECT_DIR.glob("*/templates/**/*.html")
        for name in re.findall(r'"(\w+)" in user\.capabilities', template.read_text("utf-8"))
    }
    assert asked
    assert asked <= set(Capability)


def test_a_subcontractor_is_a_fitter_who_does_not_see_how_to_reach_the_customer():
    fitter, subcontractor = ROLE_CAPABILITIES[Role.FITTER], ROLE_CAPABILITIES[Role.SUBCONTRACTOR]
    assert fitter - subcontractor == {Capability.SEE_CUSTOMER_CONTACT}
    assert subcontractor < fitter
    assert ROLE_VISIT_KINDS[Role.SUBCONTRACTOR] == ROLE_VISIT_KINDS[Role.FITTER]
