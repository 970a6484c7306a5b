"""What the phone of a person signed of an operation, verified before that is applied."""

from collections.abc import Mapping
from typing import Any

import rfc8785
from django.conf import settings
from django.utils.translation import gettext as _

from jobs.capabilities import Capability
from jobs.device_keys import NotSigned, PublicKey, SignedText, decoded
from jobs.errors import Conflict, InvalidField
from jobs.models import EnrolledKey, Person
from jobs.translation import translated

POINTER = "/jws"
# Beside the operation, so that nobody finds out what was signed by trying guesses at the signature
# once that is erased; as many bytes as a random UUID has, and more.
NONCE = "nonce"
LEAST_NONCE_BYTES = 16


def verified_signature(actor: Person, jws: str, said: Mapping[str, Any]) -> SignedText | None:
    """The signature of an operation where it counts; None where there is none, or its key ended.

    `said` is the operation as it was sent, without what only orders the queue. Raises
    `InvalidField` for a signature that is wrong.
    """
    if not jws:
        return None
    signed, enrolled = _read(actor, jws)
    if not signed.is_by(PublicKey.read(enrolled.public_key)):
        text = _("it is not the signature of “{device}” over this content")
        raise InvalidField(POINTER, text.format(device=enrolled.device))
    _require_same(signed, said)
    return signed if enrolled.ended_at is None else None


class SignatureNeeded(Conflict):
    """The firm takes what is recorded on site only where an enrolled phone has signed it."""

    def __init__(self) -> None:
        super().__init__(
            _(
                "this firm only takes records of site work that your phone has signed: open "
                "“Phones that sign” on it, let it sign, and record this again"
            )
        )


def require_signature(person: Person) -> None:
    """Raises `SignatureNeeded` for somebody who works on site, where the firm wants signatures.
    What the office records is known as its own."""
    if settings.RECORDS_NEED_SIGNATURE and person.has_capability(Capability.ATTEND_VISITS):
        raise SignatureNeeded


def _read(actor: Person, jws: str) -> tuple[SignedText, EnrolledKey]:
    try:
        signed = SignedText.read(jws)
    except NotSigned as fault:
        raise InvalidField(POINTER, translated(fault.why)) from None
    enrolled = EnrolledKey.objects.filter(person=actor, thumbprint=signed.key_id).first()
    if enrolled is None:
        text = _("none of your phones is enrolled under the kid “{kid}”")
        raise InvalidField(POINTER, text.format(kid=signed.key_id))
    return signed, enrolled


def _require_same(signed: SignedText, said: Mapping[str, Any]) -> None:
    content = signed.content
    if not isinstance(content, dict) or not _is_nonce(content.pop(NONCE, None)):
        text = _(
            "what it signs has to be the operation as JSON, with a nonce of {count} bytes or more"
        )
        raise InvalidField(POINTER, text.format(count=LEAST_NONCE_BYTES))
    names = {*content, *said}
    different = [
        n for n in names if n not in content or n not in said or not _same(content[n], said[n])
    ]
    if different:
        text = _("what it signs differs from the operation in: {names}")
        raise InvalidField(POINTER, text.format(names=", ".join(sorted(different))))


def _is_nonce(text: Any) -> bool:
    try:
        return len(decoded(text)) >= LEAST_NONCE_BYTES
    except (TypeError, ValueError):
        return False


def _same(one: Any, other: Any) -> bool:
    """As JSON, in which 1 and 1.0 are one number, and true is none."""
    try:
        return rfc8785.dumps(one) == rfc8785.dumps(other)
    except (ValueError, RecursionError):
        return False
