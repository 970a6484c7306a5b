"""A paper of which something was altered, in as many ways as bytes and parts can be."""

from collections.abc import Iterator
from io import BytesIO
from random import Random

import pikepdf

from reports.verification.findings import Finding, Standing
from reports.verification.paper import check_paper

LONGEST_PART = 400


def alterations(content: bytes, random: Random) -> Iterator[tuple[str, bytes]]:
    """Endlessly: what was done, and the file that came of it; each differs from the first."""
    ways = (_bit, _byte, _inserted, _taken_out, _swapped, _laid_over, _cut_off, _appended)
    while True:
        way = random.choice(ways)
        what, altered = way(content, random)
        if altered != content:
            yield what, altered


def what_is_broken(content: bytes) -> Finding | None:
    """The first that is said to be."""
    findings = check_paper(content)
    return next((f for f in findings if f.standing == Standing.BROKEN), None)


def signed_again(content: bytes, attachments: dict[str, bytes]) -> bytes:
    """The same pages with other attachments, signed with the firm's own key: what somebody can do
    who has stolen that, and has neither the journal nor the key of its checkpoints."""
    from reports.signing import sign_paper  # noqa: PLC0415 altering needs nothing of the service

    with pikepdf.open(BytesIO(content)) as pdf:
        del pdf.Root.AcroForm
        for page in pdf.pages:
            if "/Annots" in page:
                page.Annots = pikepdf.Array(a for a in page.Annots if a.get("/FT") != "/Sig")
        for name, attached in attachments.items():
            pdf.attachments[name].obj.EF.F.write(attached)
        unsigned = BytesIO()
        pdf.save(unsigned)
    return sign_paper(unsigned.getvalue(), "Completion certificate")


def _bit(content: bytes, random: Random) -> tuple[str, bytes]:
    at, bit = random.randrange(len(content)), random.randrange(8)
    return f"bit {bit} of byte {at}", _with(content, at, bytes([content[at] ^ 1 << bit]))


def _byte(content: bytes, random: Random) -> tuple[str, bytes]:
    at = random.randrange(len(content))
    return f"byte {at}", _with(content, at, random.randbytes(1))


def _inserted(content: bytes, random: Random) -> tuple[str, bytes]:
    at = random.randrange(len(content))
    return f"inserted at {at}", content[:at] + random.randbytes(1) + content[at:]


def _taken_out(content: bytes, random: Random) -> tuple[str, bytes]:
    at, length = random.randrange(len(content)), random.randrange(1, LONGEST_PART)
    return f"{length} bytes out at {at}", content[:at] + content[at + length :]


def _swapped(content: bytes, random: Random) -> tuple[str, bytes]:
    length = random.randrange(1, LONGEST_PART)
    first, second = sorted(random.sample(range(0, len(content) - length, length), 2))
    one, other = content[first : first + length], content[second : second + length]
    swapped = _with(_with(content, first, other), second, one)
    return f"{length} bytes at {first} and {second} swapped", swapped


def _laid_over(content: bytes, random: Random) -> tuple[str, bytes]:
    length = random.randrange(1, LONGEST_PART)
    here, there = (random.randrange(len(content) - length) for _ in range(2))
    over = _with(content, here, content[there : there + length])
    return f"{length} bytes of {there} over {here}", over


def _cut_off(content: bytes, random: Random) -> tuple[str, bytes]:
    length = random.randrange(1, len(content))
    return f"cut off after {length}", content[:length]


def _appended(content: bytes, random: Random) -> tuple[str, bytes]:
    more = random.choice((b"\n", b" ", b"%", b"\x00", random.randbytes(9)))
    return f"{more!r} appended", content + more


def _with(content: bytes, at: int, part: bytes) -> bytes:
    return content[:at] + part + content[at + len(part) :]
