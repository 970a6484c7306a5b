"""What a fitter's phone signs with its own key: taken where it is right, and verified anew."""

import base64
import json
from uuid import uuid4

import pytest
from django.core.management import CommandError, call_command
from joserfc import jws
from joserfc.jwk import ECKey

from installs.models import Defect, Reading, SetAside, SyncOperation
from jobs.models import EnrolledKey, JournalEntry, SealedContent
from jobs.services.device_keys import end_key
from jobs.services.journal_check import find_flaws
from tests import factories
from tests.api import signed_in
from tests.device import Device
from tests.installs.queue_sending import results, send
from tests.installs.queue_session import evidence, whole_session
from tests.journal import rewritten
from upkeep.services.erasure import erase_customer

pytestmark = pytest.mark.django_db


@pytest.fixture
def client(fitter):
    return signed_in(fitter)


@pytest.fixture
def device(fitter):
    return Device(fitter)


def entry_of(record: str) -> dict:
    return json.loads(JournalEntry.objects.get(record_id=record).text)


def refusal(client, operation) -> tuple[str, str]:
    """Pointer and reason; nothing may be stored."""
    (answer,) = send(client, operation)
    assert (answer["result"], answer["problem"]["status"]) == ("refused", 400), answer
    assert not Defect.objects.exists()
    assert not SyncOperation.objects.exists()
    (error,) = answer["problem"]["errors"]
    return error["pointer"], error["detail"]


# -- taken, and kept in the journal -----------------------------------------------------------


def test_a_signed_operation_is_done_and_its_entry_carries_the_signature(
    client, device, queue_defect
):
    operation = device.signed(queue_defect())
    (answer,) = send(client, operation)
    assert (answer["result"], answer["signed_by"]) == ("applied", device.thumbprint)
    signature = entry_of(operation["record"])["signature"]
    assert signature == {"thumbprint": device.thumbprint, "jws": operation["jws"]}
    assert list(find_flaws()) == []


def test_the_entry_alone_is_enough_for_another_library_to_verify_it(client, device, queue_defect):
    operation = device.signed(queue_defect())
    send(client, operation)
    signature = entry_of(operation["record"])["signature"]
    state = json.loads(JournalEntry.objects.get(record_id=device.on_record.pk).text)["body"]
    key = ECKey.import_key(state["public_key"])
    content = json.loads(jws.deserialize_compact(signature["jws"], key).payload)
    assert content["body"] == operation["body"]
    assert (key.thumbprint(), state["person"]) == (signature["thumbprint"], str(device.person.pk))


def test_an_unsigned_operation_is_done_and_its_entry_says_that_it_is_not_signed(
    client, device, queue_defect
):
    operation = queue_defect()
    (answer,) = send(client, operation)
    assert (answer["result"], answer["signed_by"]) == ("applied", None)
    assert entry_of(operation["record"])["signature"] is None


def test_what_the_office_does_says_nothing_of_signatures(office, installation):
    entries = JournalEntry.objects.filter(record_id=installation.pk)
    assert all("signature" not in json.loads(entry.text) for entry in entries)


def test_a_repeat_is_told_who_signed(client, device, queue_defect):
    operation = device.signed(queue_defect())
    send(client, operation)
    (again,) = send(client, operation)
    assert (again["result"], again["signed_by"]) == ("already_applied", device.thumbprint)


def test_a_signature_says_nothing_of_the_order_of_the_queue(client, device, queue_defect):
    first = queue_defect()
    operation = device.signed(queue_defect())
    send(client, first)
    moved = operation | {"after": first["id"], "also_after": []}
    assert results(client, moved) == ["applied"]


def test_what_is_set_aside_is_signed_with_the_reason(client, device, queue_defect):
    operation = device.signed(queue_defect() | {"set_aside_because": "no such leaf"})
    assert results(client, operation) == ["set_aside"]
    kept = SetAside.objects.get()
    assert entry_of(str(kept.pk))["signature"]["thumbprint"] == device.thumbprint
    assert list(find_flaws()) == []


def test_numbers_are_the_same_however_they_are_written(client, device, queue_defect, queue):
    send(client, reported := queue_defect())
    operation = queue.add("put_defect_right", reported["record"], 1, how="polished")
    signed = operation | {"jws": device.signature(operation | {"base_version": 1.0})}
    assert results(client, signed) == ["applied"]


# -- refused ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("change", "named"),
    [
        ({"made_at": "2026-01-01T00:00:00+00:00"}, "made at"),
        ({"base_version": 3}, "base version"),
        ({"kind": "record_gap"}, "kind"),
        ({"body": {"severity": "minor"}}, "body"),
        ({"set_aside_because": "x"}, "set aside because"),
        ({"colour": "grey"}, "colour"),
    ],
)
def test_a_signature_over_something_else_is_refused(client, device, queue_defect, change, named):
    operation = queue_defect()
    pointer, why = refusal(client, operation | {"jws": device.signature(operation | change)})
    assert pointer == "/jws"
    assert why.endswith(f"differs from the operation in: {named}")


def test_a_signature_without_a_number_that_nobody_guesses_is_refused(client, device, queue_defect):
    operation = queue_defect()
    pointer, why = refusal(client, operation | {"jws": device.signature(operation, nonce="short")})
    assert (pointer, "nonce of 16 bytes" in why) == ("/jws", True)


def test_a_signature_of_a_device_that_is_not_enrolled_is_refused(client, fitter, queue_defect):
    stranger = Device(fitter, enrolled=False)
    pointer, why = refusal(client, stranger.signed(queue_defect()))
    assert pointer == "/jws"
    assert why == f"none of your phones is enrolled under the kid “{stranger.thumbprint}”"


def test_a_signature_of_somebody_elses_phone_is_refused(client, office, queue_defect):
    pointer, why = refusal(client, Device(office).signed(queue_defect()))
    assert (pointer, "none of your phones" in why) == ("/jws", True)


def test_a_signature_under_the_name_of_another_key_is_refused(client, device, queue_defect):
    operation, other = queue_defect(), ECKey.generate_key("P-256")
    own = device.key
    device.key = other
    forged = device.signature(operation).split(".")
    header = {"alg": "ES256", "kid": own.thumbprint()}
    forged[0] = base64.urlsafe_b64encode(json.dumps(header).encode()).rstrip(b"=").decode()
    pointer, why = refusal(client, operation | {"jws": ".".join(forged)})
    assert (pointer, why) == ("/jws", "it is not the signature of “Work phone” over this content")


@pytest.mark.parametrize("text", ["no signature", "a.b.c", "[" * 2000 + ".e30.AAAA"])
def test_what_is_no_signature_is_refused(client, device, queue_defect, text):
    assert refusal(client, queue_defect() | {"jws": text})[0] == "/jws"


def test_content_nested_without_end_is_refused(client, device, queue_defect):
    deep = base64.urlsafe_b64encode(b"[" * 100_000).rstrip(b"=").decode()
    header, _, signature = device.signature({}).split(".")
    assert refusal(client, queue_defect() | {"jws": f"{header}.{deep}.{signature}"})[0] == "/jws"


# -- a key that was ended ---------------------------------------------------------------------


def test_what_a_key_signed_before_it_was_ended_goes_on_counting(client, device, queue_defect):
    send(client, device.signed(queue_defect()))
    end_key(actor=device.person, key=device.on_record, expected_version=1, because="lost")
    assert list(find_flaws()) == []


def test_what_a_key_signs_after_it_was_ended_is_taken_as_unsigned(
    client, office, device, queue_defect
):
    end_key(actor=office, key=device.on_record, expected_version=1, because="lost")
    operation = device.signed(queue_defect())
    (answer,) = send(client, operation)
    assert (answer["result"], answer["signed_by"]) == ("applied", None)
    assert entry_of(operation["record"])["signature"] is None


# -- where the firm wants signatures ----------------------------------------------------------


def test_unsigned_records_of_site_work_are_refused_with_what_to_do(
    client, device, queue_defect, settings
):
    settings.RECORDS_NEED_SIGNATURE = True
    operation = queue_defect()
    (answer,) = send(client, operation)
    assert (answer["result"], answer["problem"]["status"]) == ("refused", 409)
    assert "Phones that sign" in answer["problem"]["detail"]
    body = operation["body"] | {"id": operation["record"]}
    single = client.post("/api/v1/defects/", body)
    assert (single.status_code, "Phones that sign" in single.json()["detail"]) == (409, True)
    assert not Defect.objects.exists()
    assert results(client, device.signed(operation)) == ["applied"]


def test_unsigned_records_can_be_set_aside_all_the_same(client, queue_defect, settings):
    settings.RECORDS_NEED_SIGNATURE = True
    aside = queue_defect() | {"set_aside_because": "recorded before the phone was enrolled"}
    assert results(client, aside) == ["set_aside"]


def test_the_office_records_without_a_phone(office, queue_defect, settings):
    settings.RECORDS_NEED_SIGNATURE = True
    assert results(signed_in(office), queue_defect()) == ["applied"]


# -- verified anew ----------------------------------------------------------------------------


@pytest.fixture
def signed_defect(client, device, queue_defect):
    operation = device.signed(queue_defect())
    send(client, operation)
    return operation


def flaws() -> list[str]:
    return [flaw.why for flaw in find_flaws()]


def test_a_signature_that_was_changed_with_its_whole_chain_is_found(signed_defect):
    def change(entry):
        header, payload, signature = entry["signature"]["jws"].split(".")
        flipped = ("B" if signature[0] == "A" else "A") + signature[1:]
        entry["signature"]["jws"] = f"{header}.{payload}.{flipped}"

    rewritten(signed_defect["record"], change)
    assert flaws() == ["its signature is not over what was signed"]
    with pytest.raises(CommandError, match="broken in 1 chain"):
        call_command("verify_journal")


def test_content_that_was_changed_with_its_whole_chain_is_found(signed_defect):
    def change(entry):
        header, payload, signature = entry["signature"]["jws"].split(".")
        content = json.loads(base64.urlsafe_b64decode(payload + "=="))
        content["body"]["severity"] = "cosmetic"
        said = base64.urlsafe_b64encode(json.dumps(content).encode()).rstrip(b"=").decode()
        entry["signature"]["jws"] = f"{header}.{said}.{signature}"

    rewritten(signed_defect["record"], change)
    assert flaws() == ["its signature is not over what was signed"]


def test_a_signature_put_on_another_entry_is_found(client, device, signed_defect, queue_defect):
    other = device.signed(queue_defect())
    send(client, other)
    theirs = entry_of(other["record"])["signature"]
    rewritten(signed_defect["record"], lambda entry: entry.update(signature=theirs))
    assert flaws() == ["what was signed is about another record"]


def test_a_key_that_was_changed_in_the_journal_is_found(device, signed_defect):
    def change(entry):
        entry["body"]["public_key"] = Device(device.person, enrolled=False).public_key

    rewritten(str(device.on_record.pk), change)
    assert "it is signed with a key that was not enrolled" in flaws()


def test_a_key_that_was_changed_in_its_row_is_found(device, signed_defect, capsys):
    other = Device(device.person, enrolled=False)
    EnrolledKey.objects.update(public_key=other.public_key)
    with pytest.raises(CommandError):
        call_command("verify_journal")
    assert f"jobs.enrolledkey {device.on_record.pk}, public_key" in capsys.readouterr().err


def test_a_signature_of_another_person_is_found(office, device, signed_defect):
    def change(entry):
        entry["body"]["person"] = str(office.pk)

    rewritten(str(device.on_record.pk), change)
    assert "it is signed with the key of somebody else" in flaws()


def test_a_reading_that_was_changed_in_the_entry_and_its_row_is_found(
    client, office, device, installation, queue
):
    """As whoever holds the database and the journal could, with the whole chain linked anew."""
    step = factories.fitted(device.person, installation, until="plumb").steps.get(code="plumb")
    body = evidence(step, factories.instrument(office), **dict.fromkeys(step.criteria, 9.0))
    operation = device.signed(queue.add("inspect_step", str(uuid4()), **body))
    assert results(client, operation) == ["applied"]
    assert flaws() == []

    def made_good(entry):
        if "readings" in entry["body"]:
            for row in entry["body"]["readings"]:
                row.update(value=0, decision="pass", measured=dict.fromkeys(row["measured"], 0))

    rewritten(operation["record"], made_good)
    Reading.objects.filter(inspection=operation["record"]).update(value=0, decision="pass")
    assert flaws() == ["it does not say what was signed of it: readings"]


def test_a_word_that_was_changed_in_the_entry_is_found(signed_defect):
    rewritten(signed_defect["record"], lambda entry: entry["body"].update(severity="cosmetic"))
    assert flaws() == ["it does not say what was signed of it: severity"]


def test_blanks_and_spellings_that_a_service_tidies_are_no_difference(
    client, device, queue_defect, installation
):
    loose = {"description": "  Scratch \n", "installation": str(installation.pk).upper()}
    assert results(client, device.signed(queue_defect(**loose))) == ["applied"]
    assert flaws() == []


def test_everything_that_a_phone_records_holds_when_it_is_signed(
    client, office, device, installation, queue
):
    session = whole_session(installation, factories.instrument(office), queue)
    applied = 0
    for first in range(0, len(session), 100):
        signed = map(device.signed, session[first : first + 100])
        applied += results(client, *signed).count("applied")
    assert applied > 100
    assert flaws() == []


# -- what a customer may ask to be erased -----------------------------------------------------


@pytest.fixture
def fitting(office, fitter, job):
    doorset = factories.released_doorset(office, factories.opening(office, job))
    return factories.fitted(fitter, factories.planned(office, fitter, doorset))


@pytest.fixture
def signed_handover(client, device, queue, job, fitting):
    body = {
        "job": str(job.pk),
        "customer_name": "Oona Quill",
        "keys": {str(fitting.pk): 3},
        "demonstrated": True,
        "care_given": True,
        "signature": [[[0, 0], [10, 8], [20, 2]]],
    }
    operation = device.signed(queue.add("hand_over", str(uuid4()), **body))
    (answer,) = send(client, operation)
    assert (answer["result"], answer["signed_by"]) == ("applied", device.thumbprint)
    return operation


def test_what_a_customer_may_ask_to_be_erased_is_signed_and_not_in_the_journal(signed_handover):
    header, payload, signature = signed_handover["jws"].split(".")
    entry = JournalEntry.objects.get(record_id=signed_handover["record"])
    assert json.loads(entry.text)["signature"]["jws"] == f"{header}..{signature}"
    assert entry.sealed_content.payload == payload
    assert "Quill" not in "".join(JournalEntry.objects.values_list("text", flat=True))
    assert flaws() == []


def test_what_was_signed_apart_is_missed_and_checked(signed_handover, device, queue_defect):
    kept = SealedContent.objects.get()
    other = device.signature(queue_defect()).split(".")[1]
    SealedContent.objects.update(payload=other)
    assert flaws() == ["its signature is not over what was signed"]
    kept.delete()
    assert flaws() == ["what was signed is missing"]


def test_an_erasure_takes_what_was_signed_and_leaves_the_journal_whole(
    office, job, signed_handover
):
    customer = job.customer
    erase_customer(
        actor=office,
        customer=customer,
        expected_version=customer.version,
        reason="asked for by letter",
        in_spite_of_retention="nothing of it was ever built",
    )
    assert not SealedContent.objects.exists()
    assert flaws() == []
