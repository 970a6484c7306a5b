"""A certificate alone, without the service and without the firm."""

import json
import subprocess
import sys
from itertools import islice
from pathlib import Path
from random import Random

import msgspec
import pikepdf
import pytest

from jobs.arithmetic.merkle import leaf_hash, tree_root
from jobs.checkpoints import PrivateKey, PublicKey, UnreadableCheckpoint, read_checkpoint
from jobs.idempotency import IdempotencyKey
from jobs.models import Job, Person
from jobs.seal_key import seal_key
from jobs.seal_log import latest_seal, seal
from jobs.services import jobs as job_services
from jobs.services.seals import seal_streams
from reports.models import Document
from reports.services.documents import issue_document
from reports.services.making import make_document
from reports.verification import build
from reports.verification.__main__ import main
from reports.verification.findings import Verdict, verdict_of
from reports.verification.names import PROOF, RECORD
from reports.verification.paper import check_paper
from reports.verification.paper_file import PaperFile
from reports.verification.proof import Claims, Proof, check_proof
from reports.verification.witnesses import Witness
from tests import factories
from tests.reports.altered import alterations, signed_again, what_is_broken
from tests.reports.asked import provable_certificate
from tests.reports.fitted import handed_over_job
from tests.reports.papers import passing_records

pytestmark = pytest.mark.django_db
STRANGER = PrivateKey.made("127.0.0.1:8000/journal")


class Firm:
    """What is left of a firm once the test begins: two certificates, and what witnesses kept."""

    def __init__(self) -> None:
        office = factories.person("office")
        first, second = factories.job(office), factories.job(office)
        self._go_on(office, first, 6)
        self.paper = self._made(office, first, doorsets_for="Oona Quill")
        self.other = self._made(office, second, doorsets_for="Ansel Brook")
        self._go_on(office, first, 3)
        latest = latest_seal()
        self.latest_note = latest.checkpoint
        self.seals = [seal(number).root for number in range(1, latest.number + 1)]
        self.key = str(seal_key().public)

    def _go_on(self, office: Person, job: Job, changes: int) -> None:
        for number in range(changes):
            version = Job.objects.get(pk=job.pk).version
            job_services.change_job(
                actor=office, job=job, expected_version=version, title=f"Garden doors {number}"
            )
            seal_streams()

    def _made(self, office: Person, job: Job, doorsets_for: str) -> bytes:
        document = provable_certificate(office, job, customer={"name": doorsets_for})
        make_document(document_id=str(document.pk))
        made = Document.objects.get(pk=document.pk)
        with made.file.open("rb") as file:
            return file.read()

    @property
    def proof(self) -> Proof:
        return Proof.read(self.attached(PROOF))

    def attached(self, name: str) -> bytes:
        return PaperFile.read(self.paper).attachments[name]


@pytest.fixture(scope="module")
def firm(django_db_setup, django_db_blocker, tmp_path_factory) -> Firm:
    with passing_records(django_db_blocker, tmp_path_factory.mktemp("files")):
        return Firm()


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        (Document.Kind.SURVEY_SHEET, "a survey sheet"),
        (Document.Kind.FITTING_PACK, "a fitting pack"),
        (Document.Kind.DEFECT_REPORT, "a defect report"),
        (Document.Kind.COMPLETION_CERTIFICATE, "a completion certificate"),
    ],
)
def test_every_kind_of_paper_holds_by_itself_and_says_what_it_is(kind, words):
    office = factories.person("office")
    job = handed_over_job(office, factories.person("fitter"))
    seal_streams()
    key = IdempotencyKey()
    document = issue_document(actor=office, idempotency_key=key, job=job, kind=kind)
    make_document(document_id=str(document.pk))
    with Document.objects.get(pk=document.pk).file.open("rb") as file:
        findings = list(check_paper(file.read()))
    assert verdict_of(findings) == Verdict.HOLDS, findings
    [said] = [finding.says for finding in findings if finding.about == "kind"]
    assert said == f"it is {words}, by that entry"


def said_of(content: bytes, witnesses=()) -> dict[str, list[str]]:
    said: dict[str, list[str]] = {}
    for finding in check_paper(content, witnesses):
        said.setdefault(finding.standing, []).append(f"{finding.about}: {finding.says}")
    return said


def test_everything_that_an_untouched_certificate_carries_holds(firm):
    findings = list(check_paper(firm.paper))
    assert verdict_of(findings) == Verdict.HOLDS
    assert [f.about for f in findings if f.standing == "holds"] == [
        "signature",
        "signer",
        "printed",
        "chain",
        "record",
        "kind",
        "seal",
        "checkpoint",
        "printed_checkpoint",
    ]


def test_what_cannot_be_known_without_the_firm_is_said_with_its_reason(firm):
    unknown = " ".join(said_of(firm.paper)["unknown"])
    for words in (
        "the firm made that key for itself",
        "no authority outside the firm has stamped a time",
        "superseded by a later edition",
        "give a checkpoint that a witness kept",
    ):
        assert words in unknown


def test_alterations_of_bytes_are_found_every_one(firm):
    """The long form is a command: `tests/reports/study_altered_papers.py`."""
    for what, altered in islice(alterations(firm.paper, Random(20)), 60):
        assert what_is_broken(altered), what


def test_the_place_of_the_signature_itself_hides_nothing(firm):
    start, end = list(PaperFile.read(firm.paper).signature.byte_range)[1:3]
    random = Random(21)
    for at in (start + 1, end - 2, *random.sample(range(start, end), 60)):
        altered = bytearray(firm.paper)
        altered[at] = random.choice(b"1f" if altered[at : at + 1] != b"1" else b"2e")
        assert what_is_broken(bytes(altered)), at


def test_whoever_stole_the_signing_key_alone_changes_no_record_and_no_proof(firm):
    assert what_is_broken(signed_again(firm.paper, {})) is None
    other = PaperFile.read(firm.other).attachments
    record = firm.attached(RECORD)
    for attachments in (
        {RECORD: record.replace(b'"care_given":true', b'"care_given":false')},
        {RECORD: record.replace(b'"edition":1', b'"edition":2')},
        {RECORD: record.replace(b'"firm"', b' "firm"')},
        {PROOF: other[PROOF]},
        {RECORD: other[RECORD]},
        {RECORD: other[RECORD], PROOF: other[PROOF]},
    ):
        assert what_is_broken(signed_again(firm.paper, attachments))


def test_a_paper_that_was_signed_by_somebody_else_is_found(firm, settings, tmp_path):
    settings.DATA_DIR = tmp_path
    forged = signed_again(firm.paper, {})
    assert what_is_broken(forged).about == "signer"


def test_no_part_of_a_proof_can_be_another(firm):
    """Whatever is changed in it, by whoever has the signing key, is found or cannot be read."""
    claims = Claims(firm.attached(RECORD).decode(), json.loads(firm.attached(RECORD)))
    text, random = firm.attached(PROOF), Random(22)
    sizes = text.index(b'"seal_index"'), text.index(b'"seal_path"')
    for at in random.sample(range(len(text)), 300):
        if sizes[0] <= at < sizes[1]:
            continue  # how large the seal is says nothing that the path does not
        altered = text[:at] + random.choice(b"09afAZ+/").to_bytes(1, "big") + text[at + 1 :]
        if altered == text:
            continue
        try:
            findings = list(check_proof(Proof.read(altered), claims))
        except (LookupError, TypeError, ValueError):
            continue
        assert verdict_of(findings) == Verdict.BROKEN, (at, text[at : at + 30])


@pytest.mark.parametrize(
    ("change", "about"),
    [
        (lambda p: {"entries": p.entries[:-1] or ("{}",)}, "file"),
        (lambda p: {"record_key": "0" * 64}, "record"),
        (lambda p: {"log_path": p.log_path[::-1]}, "seal"),
        (lambda p: {"log_path": p.log_path[:-1]}, "seal"),
        (
            lambda p: {"checkpoint": STRANGER.sign(*of(p)), "checkpoint_key": p.checkpoint_key},
            "checkpoint",
        ),
        (lambda p: {"checkpoint": seal_key().sign(of(p)[0] + 1, of(p)[1])}, "seal"),
        (lambda p: {"since_printed": ()}, "printed_checkpoint"),
        (lambda p: {"printed_path": p.log_path}, "printed_checkpoint"),
    ],
)
def test_what_is_wrong_with_a_proof_is_named(firm, change, about):
    proof = msgspec.structs.replace(firm.proof, **change(firm.proof))
    forged = signed_again(firm.paper, {PROOF: proof.write().encode()})
    assert what_is_broken(forged).about == about


def of(proof: Proof) -> tuple[int, bytes]:
    checkpoint = read_checkpoint(proof.checkpoint)
    return checkpoint.size, checkpoint.root


def test_a_log_of_somebodys_own_holds_in_itself_and_contradicts_every_witness(firm):
    """Whoever has both keys, or made others, can tell another story; not two of them."""
    size, root = of(firm.proof)
    theirs = Witness(seal_key().sign(size, b"r" * 32), firm.key, 1, ())
    broken = said_of(firm.paper, [("letter.json", theirs)])["broken"]
    assert "letter.json contradicts this paper" in broken[0]
    same = Witness(seal_key().sign(size, root), firm.key, 1, ())
    holds = said_of(firm.paper, [("letter.json", same)])["holds"]
    assert "the very checkpoint of this paper" in holds[-1]


def test_a_later_checkpoint_of_a_witness_is_of_the_same_log_where_its_letters_tell(firm):
    later = Witness(firm.latest_note, firm.key, 1, tuple(firm.seals))
    assert "is of the same log" in said_of(firm.paper, [("letter.json", later)])["holds"][-1]
    alone = Witness.read(firm.latest_note.encode())
    assert "only the firm can say" in " ".join(said_of(firm.paper, [("note", alone)])["unknown"])
    halves = [
        ("first", Witness(firm.latest_note, firm.key, 1, tuple(firm.seals[:2]))),
        ("second", Witness(firm.latest_note, firm.key, 3, tuple(firm.seals[2:]))),
    ]
    assert "is of the same log" in said_of(firm.paper, halves)["holds"][-1]


def test_a_later_checkpoint_of_another_past_proves_tampering(firm):
    changed = [*firm.seals]
    changed[0] = "0" * 64
    root = tree_root(leaf_hash(bytes.fromhex(one)) for one in changed)
    rewritten = Witness(seal_key().sign(len(changed), root), firm.key, 1, tuple(changed))
    assert "not of one log" in said_of(firm.paper, [("letter.json", rewritten)])["broken"][0]
    honest = Witness(firm.latest_note, firm.key, 1, tuple(firm.seals))
    both = said_of(firm.paper, [("a.json", honest), ("b.json", rewritten)])["broken"]
    assert "tells of another seal 1" in both[0]


def test_a_checkpoint_of_another_key_says_nothing_of_this_log(firm):
    theirs = Witness(STRANGER.sign(1, b"r" * 32), str(STRANGER.public), 1, ())
    said = said_of(firm.paper, [("letter.json", theirs)])
    assert "broken" not in said
    assert "it is of another log" in " ".join(said["unknown"])


@pytest.mark.parametrize("content", [b"", b"{}", b'{"checkpoint": 1}', b"\xff", b"one\n2\nthree"])
def test_what_is_no_checkpoint_is_refused(content):
    with pytest.raises(UnreadableCheckpoint):
        read_checkpoint(Witness.read(content).checkpoint)


# The command


@pytest.fixture
def file(firm, tmp_path) -> Path:
    path = tmp_path / "certificate.pdf"
    path.write_bytes(firm.paper)
    return path


def test_the_command_says_in_words_what_holds_and_ends_with_0(file, capsys):
    assert main([str(file)]) == 0
    said = capsys.readouterr().out
    assert said.startswith("Everything that this file carries holds.")
    assert "\nWhat cannot be known from the file alone\n- " in said


def test_the_command_ends_with_1_where_something_is_broken(file, capsys):
    file.write_bytes(file.read_bytes() + b" ")
    assert main([str(file), "--json"]) == 1
    answer = json.loads(capsys.readouterr().out)
    assert answer["verdict"] == "broken"
    assert {"about": "signature", "standing": "broken"}.items() <= answer["findings"][0].items()


def test_a_file_that_is_no_paper_is_broken_and_a_missing_one_cannot_be_opened(file, capsys):
    file.write_bytes(b"no paper")
    assert main([str(file)]) == 1
    assert "the file cannot be read" in capsys.readouterr().out
    assert main([str(file.with_name("none.pdf"))]) == 2
    letter = file.with_name("letter.txt")
    letter.write_text("no checkpoint")
    assert main([str(file), str(letter)]) == 2
    assert "letter.txt is no checkpoint" in capsys.readouterr().err


def test_a_paper_without_proof_is_incomplete_and_the_command_ends_with_3(firm, file, capsys):
    with pikepdf.open(file, allow_overwriting_input=True) as pdf:
        del pdf.attachments[PROOF]
        pdf.save(file)
    file.write_bytes(signed_again(file.read_bytes(), {}))
    assert main([str(file)]) == 3
    assert "the paper carries no proof of it" in capsys.readouterr().out


def test_the_one_file_needs_nothing_of_the_service(file, tmp_path):
    archive = tmp_path / "verify_paper.pyz"
    build.build(archive)
    # As where neither the framework nor the service is installed.
    without = (
        "import sys, runpy; "
        "sys.modules.update(django=None, rest_framework=None, weasyprint=None, celery=None); "
        "sys.argv = sys.argv[1:]; runpy.run_path(sys.argv[0], run_name='__main__')"
    )
    done = subprocess.run(
        [sys.executable, "-I", "-c", without, archive, file],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
        env={"PATH": ""},
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("Everything that this file carries holds.")


def test_the_key_on_the_paper_is_that_of_the_service(firm):
    record = json.loads(firm.attached(RECORD))
    assert PublicKey.read(record["journal"]["checkpoint_key"]) == seal_key().public
