"""Keys and signatures of devices against published vectors, and against another library."""

import pytest
from joserfc import jws
from joserfc.jwk import ECKey

from jobs.device_keys import NotSigned, PublicKey, SignedText, decoded, thumbprint

# RFC 7515 appendix A.3: a JWS with ECDSA P-256 SHA-256, and the key that it was made with. From
# memory: a character that was wrong would not verify.
A_3_KEY = {
    "kty": "EC",
    "crv": "P-256",
    "x": "f83OJ3D2xF1Bg8vub9tLe1gHMzV76e8Tus9uPHvRVEU",
    "y": "x_FEzRu9m36HLN_tue659LNpXW6pCyStikYjKIWI5a0",
}
A_3_PRIVATE = "jpsQnnGQmL-YBIffH1136cspYG6-0iY7X1fCE9-E9LI"
A_3 = (
    "eyJhbGciOiJFUzI1NiJ9"
    ".eyJpc3MiOiJqb2UiLA0KICJleHAiOjEzMDA4MTkzODAsDQogImh0dHA6Ly9leGFtcGxlLmNvbS9pc19yb290Ijp0cnVlfQ"
    ".DtEhU3ljbEg8L38VWAfUAqOyKAM6-Xx-F4GawxaepmXFCgfTjDxw5djxLa8ISlSApmWQxfKTUJqPP3-Kg6NU1Q"
)
# RFC 7638 section 3.1: the members that an RSA key requires, and their thumbprint.
RSA_KEY = {
    "kty": "RSA",
    "n": (
        "0vx7agoebGcQSuuPiLJXZptN9nndrQmbXEps2aiAFbWhM78LhWx4cbbfAAtVT86zwu1RK7aPFFxuhDR1L6tSoc_BJECP"
        "ebWKRXjBZCiFV4n3oknjhMstn64tZ_2W-5JsGY4Hc5n9yBXArwl93lqt7_RN5w6Cf0h4QyQ5v-65YGjQR0_FDW2QvzqY"
        "368QQMicAtaSqzs8KJZgnYb9c7d0zgdAZHzu6qMQvRL5hajrn1n91CbOpbISD08qNLyrdkt-bFTWhAI4vMQFh6WeZu0f"
        "M4lFd2NcRwr3XPksINHaQ-G_xBniIqbw0Ls1jF44-csFCur-kEgU8awapJzKnqDKgw"
    ),
    "e": "AQAB",
}
RSA_THUMBPRINT = "NzbLsXh8uDCcd-6MNwXF4W_7noWXFZAfHkxZsRGC9Xs"


def has_signed(key: PublicKey, compact: str) -> bool:
    signed = SignedText.read(compact)
    content = f"{signed.header}.{signed.payload}".encode()
    return key.has_signed(content, decoded(signed.signature))


def test_the_published_signature_is_verified():
    assert has_signed(PublicKey.read(A_3_KEY), A_3)
    assert SignedText.read(A_3).content == {
        "iss": "joe",
        "exp": 1300819380,
        "http://example.com/is_root": True,
    }


@pytest.mark.parametrize("at", [24, 60, -20])
def test_the_published_signature_with_one_character_changed_is_not(at):
    changed = "A" if A_3[at] != "A" else "B"
    forged = A_3[:at] + changed + A_3[at:][1:]
    assert not has_signed(PublicKey.read(A_3_KEY), forged)


def test_the_published_thumbprint_is_that_of_the_required_members():
    assert thumbprint(RSA_KEY) == RSA_THUMBPRINT


def test_another_library_agrees_on_thumbprints():
    for _ in range(20):
        key = ECKey.generate_key("P-256")
        assert PublicKey.read(key.as_dict(private=False)).thumbprint == key.thumbprint()


def test_what_another_library_signs_is_verified_and_by_no_other_key():
    key, other = ECKey.generate_key("P-256"), ECKey.generate_key("P-256")
    header = {"alg": "ES256", "kid": key.thumbprint()}
    signed = SignedText.read(jws.serialize_compact(header, b'{"gap": 3.5}', key))
    assert signed.is_by(PublicKey.read(key.as_dict(private=False)))
    assert not signed.is_by(PublicKey.read(other.as_dict(private=False)))
    assert signed.content == {"gap": 3.5}


def test_content_that_was_detached_is_verified_with_it_alone():
    key = ECKey.generate_key("P-256")
    header = {"alg": "ES256", "kid": key.thumbprint()}
    signed = SignedText.read(jws.serialize_compact(header, b'{"name": "Robin"}', key))
    detached = signed.without_payload()
    public = PublicKey.read(key.as_dict(private=False))
    assert detached.compact == f"{signed.header}..{signed.signature}"
    assert not detached.is_by(public)
    assert detached.with_payload(signed.payload).is_by(public)


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"d": A_3_PRIVATE}, "private key"),
        ({"kty": "RSA"}, "kty EC"),
        ({"crv": "P-384"}, "P-256"),
        ({"x": None}, "missing"),
        ({"x": A_3_KEY["y"]}, "no point"),
        ({"x": A_3_KEY["x"] + "="}, "no point"),
        ({"x": "AA"}, "no point"),
        ({"y": "ü" * 43}, "no point"),
    ],
)
def test_what_is_no_public_key_on_p_256_is_refused_with_the_reason(change, why):
    with pytest.raises(NotSigned, match=why):
        PublicKey.read(A_3_KEY | change)


@pytest.mark.parametrize(
    ("compact", "why"),
    [
        ("", "three parts"),
        ("a.b", "three parts"),
        ("#.#.#", "base64url"),
        ("bm8.bm8.bm8", "no JSON"),
        # No algorithm, HS256, and one that says exp is critical.
        ("eyJhbGciOiJub25lIn0.e30.", "ES256"),
        ("eyJhbGciOiJIUzI1NiJ9.e30.AAAA", "ES256"),
        ("eyJhbGciOiJFUzI1NiIsImNyaXQiOlsiZXhwIl19.e30.AAAA", "critical"),
    ],
)
def test_what_is_no_signature_is_refused_with_the_reason(compact, why):
    with pytest.raises(NotSigned, match=why):
        SignedText.read(compact)
