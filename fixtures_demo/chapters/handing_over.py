"""Handover, the completion certificate with its e-mail, and the papers of the firm's own people."""

import time
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from fixtures_demo.client import Client, Refused
from fixtures_demo.story import tell

WAIT_SECONDS = 120


def play(stage: Any) -> None:
    known = stage.known
    _try_to_certify(stage)
    handover = stage.scenario["handover"]
    keys = {i["id"]: handover["keys"] for i in known["installations"].values()}
    left = _leave_to_come(stage)
    stage.fitter.create(
        "handovers",
        job=known["job"]["id"],
        customer_name=handover["customer_name"],
        signature=handover["signature"],
        keys=keys,
        demonstrated=True,
        care_given=True,
        to_come=[{"defect": left["id"], "until": left["to_come_by"]}],
    )
    tell(f"{handover['customer_name']} was shown both doorsets and has {sum(keys.values())} keys.")
    gates = stage.office.read(f"jobs/{known['reference']}/gates/")["gates"]
    tell("Gates open: " + ", ".join(gate["gate"] for gate in gates if gate["open"]) + ".")
    document = stage.office.create(
        "documents", job=known["job"]["id"], kind="completion_certificate"
    )
    known["papers"] = _collect(stage, document["id"]) | _papers_of_the_firm(stage)


def _leave_to_come(stage: Any) -> dict[str, Any]:
    """What is not worth another day without a door is put right later, by a day that is signed."""
    scratch = stage.scenario["to_come"]
    found = stage.fitter.create(
        "defects",
        installation=stage.known["installations"][scratch["opening"]]["id"],
        place=scratch["place"],
        severity="minor",
        responsible="maker",
        description=scratch["description"],
    )
    until = datetime.now(tz=UTC).date() + timedelta(days=scratch["days"])
    path = f"defects/{found['id']}/"
    left = stage.fitter.act(
        path, "leave-to-come", until=until.isoformat(), promise=scratch["promise"]
    )
    tell(f"Still to come by {until.isoformat()}, read out and signed for: {found['description']}.")
    return left


def _try_to_certify(stage: Any) -> None:
    try:
        stage.office.create(
            "documents", job=stage.known["job"]["id"], kind="completion_certificate"
        )
    except Refused as refusal:
        first = refusal.problem["blockers"][0]
        tell(f"No certificate yet: {first['what']}.")
    else:
        raise SystemExit("A certificate was issued before the handover.")


def _collect(stage: Any, document_id: str) -> dict[str, Path]:
    document = _wait(stage.office, f"documents/{document_id}/", "made_at", "failure")
    dispatch = stage.office.all_of("dispatches", document=document_id)[0]
    dispatch = _wait(stage.office, f"dispatches/{dispatch['id']}/", "sent", "failed")
    certificate = _fetch(stage, stage.office, document)
    tell(
        f"Certificate {document['number']}, edition {document['edition']}, made once "
        f"({_kilobytes(certificate)} kB) and mailed to {dispatch['recipient']}."
    )
    _verify(stage, document, certificate)
    files = {"certificate": certificate}
    mails = sorted((stage.folder / "outbox").glob("*.eml"))
    return files | ({"e-mail": mails[-1]} if mails else {})


def _papers_of_the_firm(stage: Any) -> dict[str, Path]:
    """Whoever works with a paper asks for it and fetches it; nobody is sent one."""
    asked = (
        ("survey sheet", stage.surveyor),
        ("fitting pack", stage.fitter),
        ("defect report", stage.fitter),
    )
    files = {}
    for name, client in asked:
        kind = name.replace(" ", "_")
        made = client.create("documents", job=stage.known["job"]["id"], kind=kind)
        document = _wait(client, f"documents/{made['id']}/", "made_at", "failure")
        files[name] = _fetch(stage, client, document)
    sizes = ", ".join(f"{name} ({_kilobytes(path)} kB)" for name, path in files.items())
    tell(f"Made for those who work with them, and not mailed: {sizes}.")
    return files


def _fetch(stage: Any, client: Client, document: dict[str, Any]) -> Path:
    papers = stage.folder / "papers"
    papers.mkdir(exist_ok=True)
    paper: Path = papers / f"{document['number']}.pdf"
    paper.write_bytes(client.download(f"documents/{document['id']}/file/"))
    return paper


def _kilobytes(path: Path) -> int:
    return path.stat().st_size // 1024


def _wait(client: Client, path: str, done: str, failed: str) -> dict[str, Any]:
    """Read a record until it is done: a field is filled, or its state has the name."""
    until = time.monotonic() + WAIT_SECONDS
    while time.monotonic() < until:
        record = client.read(path)
        if record.get(done) or record.get("state") == done:
            return record
        if record.get(failed) or record.get("state") == failed:
            raise SystemExit(f"{path} failed: {record}")
        time.sleep(0.3)
    raise SystemExit(f"{path} was not done within {WAIT_SECONDS} s.")


def _verify(stage: Any, document: dict[str, Any], certificate: Path) -> None:
    """Anybody can check the paper, without signing in."""
    code = document["verification_address"].rstrip("/").rsplit("/", 1)[-1]
    stranger = Client(stage.address)
    answer = stranger.upload(
        f"verifications/{code}/", "file", certificate.name, certificate.read_bytes()
    )
    tell(f"Verified without signing in: {answer['status']}, the file is {answer['file_is']}.")
    if (answer["status"], answer["file_is"]) != ("genuine", "identical"):
        raise SystemExit("The certificate does not verify.")
