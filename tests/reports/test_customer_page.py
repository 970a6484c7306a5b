"""What a customer sees through their link, and who gives it out."""

import re
from datetime import timedelta

import pytest
from django.core import signing
from django.test import Client
from django.utils import timezone

from installs.models import Inspection
from installs.services.defects import put_right, record_defect
from jobs.arithmetic.fold import parse_fold
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import JournalEntry
from reports import handover_links
from reports.handover_links import handover_token
from reports.instructions_for_use import closing_steps, opening_steps
from reports.models import Document
from reports.services.documents import withdraw_document
from reports.services.making import store_paper
from tests import factories
from tests.reports.conftest import PDF
from tests.reports.fitted import handed_over_job

pytestmark = pytest.mark.django_db


@pytest.fixture
def fitter():
    return factories.person("fitter")


@pytest.fixture
def job(office, fitter):
    return handed_over_job(office, fitter)


@pytest.fixture
def customer() -> Client:
    return Client()


def page_of(job) -> str:
    return f"/handover/{handover_token(job)}/"


def html_of(client: Client, path: str, status: int = 200) -> str:
    answer = client.get(path)
    assert answer.status_code == status, answer.status_code
    return answer.content.decode()


def browser_of(person) -> Client:
    client = Client()
    client.force_login(person)
    return client


def installation_of(job):
    return job.openings.get().doorsets.get().installation


def defect(job, fitter, description="Scratch on the bead of leaf 3"):
    return record_defect(
        actor=fitter,
        idempotency_key=IdempotencyKey(),
        installation=installation_of(job),
        severity="minor",
        description=description,
    )


class TestThePage:
    def test_it_shows_what_was_fitted_and_how_it_is_used(self, customer, job):
        page = html_of(customer, page_of(job))
        assert "Doorset 5-5-0 seen from outside, 3590 by 2100 mm" in page
        assert "Begin with the access leaf, leaf 5" in page
        assert "The threshold is 12 mm higher than the finished floor" in page
        assert "Clear grit and leaves from the bottom track" in page
        assert re.search(r"Keys you received</dt><dd>3", page)
        assert "How to open, close and lock the doors" in page

    def test_it_is_opened_without_signing_in_and_found_by_no_search_engine(self, customer, job):
        answer = customer.get(page_of(job))
        assert answer["X-Robots-Tag"] == "noindex,nofollow"
        assert "no-store" in answer["Cache-Control"]

    def test_it_names_nobody_of_the_firm_and_no_way_to_reach_the_customer(
        self, customer, job, fitter, office
    ):
        page = html_of(customer, page_of(job))
        for name in (fitter.display_name, office.display_name, job.customer.email):
            assert name not in page

    def test_it_says_how_to_reach_the_firm(self, customer, job, settings):
        settings.FIRM_TELEPHONE = "01632 960040"
        assert 'href="tel:01632960040"' in html_of(customer, page_of(job))

    def test_an_open_defect_stands_there_until_it_is_closed(self, customer, job, fitter):
        assert "No defect is open" in html_of(customer, page_of(job))
        defect_found = defect(job, fitter)
        page = html_of(customer, page_of(job))
        assert "Scratch on the bead of leaf 3" in page
        assert "to be put right" in page
        assert "No day for the return visit is agreed yet" in page
        put_right(
            actor=fitter, defect=defect_found, expected_version=defect_found.version, how="new bead"
        )
        assert "put right, to be inspected again" in html_of(customer, page_of(job))

    def test_it_says_when_somebody_comes_back(self, customer, job, office, fitter):
        defect(job, fitter)
        start = timezone.now() + timedelta(days=6)
        visit = factories.visit(
            office, job, "return", fitter, start=start, end=start + timedelta(hours=1)
        )
        page = html_of(customer, page_of(job))
        day = timezone.localtime(visit.start)
        assert f"{day.day} {day:%B %Y}, {day:%H:%M}" in page
        assert "No day for coming back" not in page

    def test_it_says_until_when_protective_tape_stays(self, customer, job):
        day = timezone.localdate() + timedelta(days=9)
        Inspection.objects.filter(step__code="tape_off").update(return_on=day)
        assert f"it comes off on <strong>{day.day} {day:%B %Y}" in html_of(customer, page_of(job))

    def test_what_people_wrote_is_shown_as_words(self, customer, job, fitter):
        defect(job, fitter, '<script>alert("1")</script>')
        page = html_of(customer, page_of(job))
        assert "<script>alert" not in page
        assert not re.search(r"\sstyle=|\son\w+=", page)

    def test_it_costs_the_same_queries_however_much_is_on_record(
        self, customer, job, fitter, django_assert_max_num_queries
    ):
        for number in range(5):
            defect(job, fitter, f"Scratch {number}")
        with django_assert_max_num_queries(9):
            html_of(customer, page_of(job))


class TestTheCertificate:
    @pytest.fixture
    def certificate(self, ask, job) -> Document:
        asked = ask(job)
        store_paper(document=asked, pdf=PDF)
        return Document.objects.get(pk=asked.pk)

    def test_it_is_promised_until_it_is_made(self, customer, job):
        assert "not made yet" in html_of(customer, page_of(job))
        assert customer.get(f"{page_of(job)}certificate/")["Location"] == page_of(job)

    def test_it_is_fetched_through_the_link(self, customer, job, certificate):
        assert f"{page_of(job)}certificate/" in html_of(customer, page_of(job))
        answer = customer.get(f"{page_of(job)}certificate/")
        assert answer["Content-Type"] == "application/pdf"
        assert b"".join(answer.streaming_content) == PDF

    def test_one_that_was_withdrawn_is_not_given_out(self, customer, job, certificate, office):
        document = Document.objects.get(job=job)
        withdraw_document(
            actor=office,
            document=document,
            expected_version=document.version,
            reason="wrong",
            for_safety=False,
        )
        assert customer.get(f"{page_of(job)}certificate/").status_code == 302

    def test_the_link_of_another_job_does_not_open_it(self, customer, office, job, certificate):
        other = factories.job(office)
        assert customer.get(f"{page_of(other)}certificate/").status_code == 404


class TestTheLink:
    def test_one_that_is_over_says_what_to_do(self, customer, job, time_machine):
        page, now = page_of(job), timezone.now()
        time_machine.move_to(now + timedelta(days=89))
        html_of(customer, page)
        time_machine.move_to(now + timedelta(days=91))
        html = html_of(customer, page, status=410)
        assert "This link has expired" in html
        assert "for a new link" in html

    def test_one_that_was_altered_says_what_to_do(self, customer, job):
        html = html_of(customer, f"{page_of(job)[:-3]}x/", status=404)
        assert "No such link" in html
        assert job.site.one_line not in html

    def test_a_signature_made_for_something_else_does_not_open_it(self, customer, job):
        token = signing.dumps(str(job.pk), salt="reports.paper-link")
        html_of(customer, f"/handover/{token}/", status=404)

    def test_guessing_is_slowed_down_together_with_verification(self, customer, job):
        for _ in range(15):
            customer.get("/handover/guess/")
            customer.get("/verify/AAAAAAAAAAAAAAAAAAAAAA/")
        answer = customer.get(page_of(job))
        assert answer.status_code == 429
        assert "A moment, please" in answer.content.decode()


class TestGivingItOut:
    @pytest.mark.parametrize("who", ["office", "fitter"])
    def test_office_and_fitter_make_one_and_see_its_last_day(
        self, request, customer, job, who, settings
    ):
        person = request.getfixturevalue(who)
        page = browser_of(person).post(f"/jobs/{job.reference}/handover-link/").content.decode()
        last = handover_links.last_day()
        assert f"until <strong>{last.day} {last:%B %Y}" in page
        path = re.search(rf'href="{settings.PUBLIC_ADDRESS}(/handover/[^"]+/)"', page)[1]
        assert "Your folding sliding doors" in html_of(customer, path)

    def test_it_opens_on_its_last_day_and_not_much_longer(self, customer, job, time_machine):
        time_machine.move_to("2026-03-02T09:00:00Z", tick=False)
        page, last = page_of(job), handover_links.last_day()
        time_machine.move_to(f"{last}T23:00:00Z", tick=False)
        html_of(customer, page)
        time_machine.shift(timedelta(days=2))
        html_of(customer, page, status=410)

    def test_the_journal_keeps_who_gave_one_out_but_not_the_link(self, job, office):
        page = browser_of(office).post(f"/jobs/{job.reference}/handover-link/").content.decode()
        entry = JournalEntry.objects.get(type=JournalType.HANDOVER_LINK_ISSUED)
        assert entry.actor == office
        assert re.search(r"/handover/([^\"/]+)/", page)[1] not in entry.text

    def test_looking_makes_none(self, job, office):
        page = html_of(browser_of(office), f"/jobs/{job.reference}/handover-link/")
        assert "Make a new link" in page
        assert "/handover/" not in page

    def test_before_the_handover_there_is_nothing_to_show(self, office):
        fresh = factories.job(office)
        answer = browser_of(office).post(f"/jobs/{fresh.reference}/handover-link/")
        assert answer.status_code == 409
        assert "not handed over yet" in answer.content.decode()
        html_of(Client(), page_of(fresh), status=404)

    def test_it_is_not_for_those_whose_job_it_is_not(self, job):
        path = f"/jobs/{job.reference}/handover-link/"
        assert browser_of(factories.person("fitter")).post(path).status_code == 404
        assert browser_of(factories.person("surveyor")).post(path).status_code == 403
        assert Client().post(path).status_code == 302


class TestHowItIsUsed:
    def test_the_access_leaf_opens_first_and_shuts_last(self):
        fold = parse_fold("5-5-0")
        assert "access leaf, leaf 5" in opening_steps(fold, "out")[0]
        assert "access leaf, leaf 5, last" in closing_steps(fold)[-2]

    def test_locks_go_from_the_access_leaf_to_the_jamb_and_back(self):
        fold = parse_fold("5-5-0")
        assert any("begin beside the access leaf" in step for step in opening_steps(fold, "out"))
        assert any("towards the access leaf" in step for step in closing_steps(fold))

    def test_each_chain_goes_to_its_own_jamb(self):
        steps = " ".join(opening_steps(parse_fold("6-3-3"), "in"))
        assert "leaf 3 or leaf 4" in steps
        assert "3 leaves on the left" in steps
        assert "3 leaves on the right" in steps
        assert "pull the first pair inwards" in steps

    def test_a_single_leaf_beside_a_chain_only_swings(self):
        steps = " ".join(opening_steps(parse_fold("3-2-1"), "out"))
        assert "access leaf, leaf 3" in steps
        assert "on the right" not in steps
        assert "against its neighbour" not in steps

    def test_without_an_access_leaf_it_opens_where_it_is_locked(self):
        assert "leaves 2 and 3 meet" in opening_steps(parse_fold("4-2-2"), "out")[0]
        assert "the right jamb" in opening_steps(parse_fold("4-4-0"), "out")[0]
        assert "access" not in " ".join(closing_steps(parse_fold("4-4-0")))
