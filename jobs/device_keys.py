"""Public keys of devices, and what is signed with them.

A key is a JSON Web Key (RFC 7517) for ECDSA on P-256 and known by its thumbprint (RFC 7638); what
is signed is a JSON Web Signature in the compact form (RFC 7515) of the algorithm ES256 (RFC 7518
3.4).
Knows no framework.
"""

import base64
import binascii
import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Self

import rfc8785
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import encode_dss_signature
from cryptography.hazmat.primitives.hashes import SHA256

from jobs.sentences import Sentence, sentence

ALGORITHM = "ES256"
KIND_OF_KEY = {"kty": "EC", "crv": "P-256"}
COORDINATES = ("x", "y")
# Of a coordinate, and of each half of a signature.
NUMBER_BYTES = 32
PARTS_OF_COMPACT = 3


class NotSigned(ValueError):
    """A text that is no such key or signature, or one that does not match; `why` says so."""

    def __init__(self, why: Sentence) -> None:
        super().__init__(why)
        self.why = why


def thumbprint(required: Mapping[str, str]) -> str:
    """Of the members that its kind of key requires (RFC 7638 3.2), and of no others."""
    return encoded(hashlib.sha256(rfc8785.dumps(dict(required))).digest())


def encoded(content: bytes) -> str:
    """Base 64 for addresses, without padding (RFC 7515 2)."""
    return base64.urlsafe_b64encode(content).rstrip(b"=").decode()


def decoded(text: str) -> bytes:
    """Raises `ValueError` for what `encoded` would write otherwise."""
    try:
        content = base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))
    except (binascii.Error, UnicodeError) as fault:
        raise ValueError(str(fault)) from None
    if encoded(content) != text:
        raise ValueError(text)
    return content


@dataclass(frozen=True)
class PublicKey:
    """The public key of a device; `x` and `y` as its JWK writes them."""

    x: str
    y: str

    @classmethod
    def read(cls, jwk: Mapping[str, Any]) -> Self:
        """From its JWK; members that a public key for signatures may have beside are left out.

        Raises `NotSigned` for any other kind of key, for a point that is not on the curve, and for
        a private key, which no device gives away.
        """
        if "d" in jwk:
            raise NotSigned(
                sentence("this is the private key; it stays on its device, send the public one")
            )
        if {name: jwk.get(name) for name in KIND_OF_KEY} != KIND_OF_KEY:
            raise NotSigned(
                sentence("give a JWK with kty EC and crv P-256 (RFC 7517, RFC 7518 6.2)")
            )
        x, y = (jwk.get(name) for name in COORDINATES)
        if not isinstance(x, str) or not isinstance(y, str):
            raise NotSigned(sentence("x and y are missing"))
        key = cls(x, y)
        try:
            key._usable  # noqa: B018 a point that is on the curve
        except ValueError:
            raise NotSigned(
                sentence("x and y are no point on P-256, 32 bytes each in base64url")
            ) from None
        return key

    @property
    def jwk(self) -> dict[str, str]:
        return {**KIND_OF_KEY, "x": self.x, "y": self.y}

    @property
    def thumbprint(self) -> str:
        return thumbprint(self.jwk)

    @cached_property
    def _usable(self) -> ec.EllipticCurvePublicKey:
        coordinates = [decoded(self.x), decoded(self.y)]
        if any(len(number) != NUMBER_BYTES for number in coordinates):
            raise ValueError(self.x)
        x, y = (int.from_bytes(number, "big") for number in coordinates)
        return ec.EllipticCurvePublicNumbers(x, y, ec.SECP256R1()).public_key()

    def has_signed(self, content: bytes, signature: bytes) -> bool:
        """`signature` is R and S after each other (RFC 7518 3.4)."""
        if len(signature) != 2 * NUMBER_BYTES:
            return False
        r, s = signature[:NUMBER_BYTES], signature[NUMBER_BYTES:]
        in_der = encode_dss_signature(int.from_bytes(r, "big"), int.from_bytes(s, "big"))
        try:
            self._usable.verify(in_der, content, ec.ECDSA(SHA256()))
        except InvalidSignature:
            return False
        return True


@dataclass(frozen=True, slots=True)
class SignedText:
    """A compact JSON Web Signature, read and not verified; `key_id` says whose it is."""

    header: str
    payload: str
    signature: str

    @classmethod
    def read(cls, compact: str) -> Self:
        """Raises `NotSigned`."""
        parts = compact.split(".")
        if len(parts) != PARTS_OF_COMPACT:
            raise NotSigned(
                sentence("give a compact JWS: three parts with dots between (RFC 7515 7.1)")
            )
        signed = cls(*parts)
        try:
            header = json.loads(decoded(signed.header))
            for part in (signed.payload, signed.signature):
                decoded(part)
        except (ValueError, RecursionError):
            raise NotSigned(
                sentence("its parts are not base64url, or its header is no JSON")
            ) from None
        if not isinstance(header, dict) or header.get("alg") != ALGORITHM or "crit" in header:
            raise NotSigned(sentence("its header has to say alg ES256, and nothing critical"))
        return signed

    @property
    def key_id(self) -> str:
        """The `kid` of its header: empty where there is none."""
        name = json.loads(decoded(self.header)).get("kid")
        return name if isinstance(name, str) else ""

    @property
    def content(self) -> Any:
        """What was signed, as JSON; None where it is none."""
        try:
            return json.loads(decoded(self.payload))
        except (ValueError, RecursionError):
            return None

    @property
    def compact(self) -> str:
        return f"{self.header}.{self.payload}.{self.signature}"

    def without_payload(self) -> Self:
        """With its content detached (RFC 7515 appendix F)."""
        return type(self)(self.header, "", self.signature)

    def with_payload(self, payload: str) -> Self:
        return type(self)(self.header, payload, self.signature)

    def is_by(self, key: PublicKey) -> bool:
        signed = f"{self.header}.{self.payload}".encode()
        return self.key_id == key.thumbprint and key.has_signed(signed, decoded(self.signature))
