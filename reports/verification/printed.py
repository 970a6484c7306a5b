"""Whether the pages say what the record inside says, as far as a program can tell.

Who, what and where are looked for in the text of the pages, and in a certificate, which alone
prints them, every digest. That each figure stands in its place is for a reader to compare: the firm
has signed pages and record together.
"""

from collections.abc import Iterator, Mapping
from io import BytesIO
from typing import Any

from pypdf import PdfReader

from jobs.sentences import Sentence, sentence
from reports.verification.findings import Finding, broken, holds, unknown

# How the numbers of certificates end.
OF_CERTIFICATES = "-C"


def check_pages(content: bytes, record: Mapping[str, Any]) -> Iterator[Finding]:
    wanted = dict(_facts(record))
    absent = _absent(content, {name: _run(text) for name, text in wanted.items()})
    if absent:
        yield broken(
            "printed",
            sentence(
                "the pages do not show what the record says: {facts}", facts=", ".join(absent)
            ),
        )
        return
    yield holds("printed", _what_is_shown(record))
    yield unknown(
        "printed",
        sentence(
            "whether each figure stands in its place: compare the pages with record.json inside"
        ),
    )


def _what_is_shown(record: Mapping[str, Any]) -> Sentence:
    named = {
        "number": record["paper"]["number"],
        "edition": record["paper"]["edition"],
        "job": record["job"]["reference"],
        "customer": record["customer"]["name"],
    }
    if _prints_digests(record):
        return sentence(
            "the pages show what the record says of the paper ({number}, edition {edition}), the "
            "job ({job}), the customer ({customer}), the place, the doorsets and every digest",
            **named,
        )
    return sentence(
        "the pages show what the record says of the paper ({number}, edition {edition}), the job "
        "({job}), the customer ({customer}), the place and the doorsets",
        **named,
    )


def _prints_digests(record: Mapping[str, Any]) -> bool:
    number: str = record["paper"]["number"]
    return number.endswith(OF_CERTIFICATES)


def _facts(record: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    yield "number", record["paper"]["number"]
    yield "verification_address", record["paper"]["verification_address"]
    yield "firm", record["firm"]["name"]
    yield "job", record["job"]["reference"]
    yield "title", record["job"]["title"]
    yield "customer", record["customer"]["name"]
    for number, line in enumerate(record["site"]["address"], start=1):
        yield f"place_{number}", line
    for doorset in record.get("doorsets", ()):
        number, frame = doorset["opening"]["number"], doorset["order"]["frame"]
        yield (
            f"frame_{number}",
            f"{frame['width']:g} \N{MULTIPLICATION SIGN} {frame['height']:g}",
        )
        yield f"fold_{number}", doorset["order"]["fold"]
    if _prints_digests(record):
        yield from _digests(record)


def _digests(record: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    yield "rule_set", record["rule_set"]["sha256"]
    journal = record["journal"]
    yield "head_of_chain", journal["head"]
    for name in ("seal_root", "checkpoint", "checkpoint_key"):
        if journal.get(name):
            yield name, journal[name]
    for certificate in journal.get("signing_certificates", ())[:1]:
        yield "certificate", certificate


def _absent(content: bytes, wanted: dict[str, str]) -> list[str]:
    """What no page shows; those of the first and last pages first, where nearly all of it is."""
    pages = list(PdfReader(BytesIO(content)).pages)
    for page in (pages[0], *reversed(pages[1:])):
        text = _run(page.extract_text())
        wanted = {name: fact for name, fact in wanted.items() if fact not in text}
        if not wanted:
            break
    return list(wanted)


def _run(text: str) -> str:
    """Without white space, which lines on a page put anywhere."""
    return "".join(text.split())
