"""The key that papers are signed with.

It comes from a PKCS #12 file (`SIGNING_KEY_FILE`); without one a key is made once and kept in the
data folder. A key of one's own making proves that nothing was changed since, not who the firm is;
the certificates of either are named in every record of a paper, so that the journal says which
signature a paper has to bear.
"""

from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import BestAvailableEncryption, NoEncryption
from cryptography.hazmat.primitives.serialization.pkcs12 import (
    load_pkcs12,
    serialize_key_and_certificates,
)
from django.conf import settings
from django.utils.translation import gettext as _

from jobs.key_files import made_once

OWN_KEY = "signing_key.p12"
OWN_KEY_LASTS = timedelta(days=3653)


class UnusableSigningKey(RuntimeError):
    """The file named by `SIGNING_KEY_FILE` cannot be read, or its passphrase is another one."""


def unusable(path: Path) -> UnusableSigningKey:
    message = _("{path} holds no key that SIGNING_KEY_PASSPHRASE opens")
    return UnusableSigningKey(message.format(path=path))


def passphrase() -> bytes | None:
    return settings.SIGNING_KEY_PASSPHRASE.encode() or None


def key_file() -> Path:
    """Where the key lies; one of our own making is made the first time."""
    if settings.SIGNING_KEY_FILE:
        return Path(settings.SIGNING_KEY_FILE)
    path = Path(settings.DATA_DIR) / OWN_KEY
    made_once(path, _self_made)
    return path


@cache
def content_of(path: Path) -> bytes:
    """Of a key file, once per process: what a process signs with is what it names in records, even
    where the file is another one meanwhile. Raises `UnusableSigningKey`."""
    try:
        return path.read_bytes()
    except OSError as fault:
        raise unusable(path) from fault


def signing_certificates() -> tuple[str, ...]:
    """SHA-256 of the certificate that papers are signed with today, then of those above it that
    go into the signature, in the order of their digests. Raises `UnusableSigningKey`."""
    return _certificates(key_file(), passphrase())


@cache
def _certificates(path: Path, given: bytes | None) -> tuple[str, ...]:
    try:
        key = load_pkcs12(content_of(path), given)
    except ValueError as fault:
        raise unusable(path) from fault
    if key.cert is None:
        raise unusable(path)
    above = {_sha256(of.certificate) for of in key.additional_certs}
    return _sha256(key.cert.certificate), *sorted(above)


def _sha256(certificate: x509.Certificate) -> str:
    return certificate.fingerprint(hashes.SHA256()).hex()


def _self_made() -> bytes:
    """A PKCS #12 file with a new key and a certificate that it vouches for itself."""
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, settings.FIRM_NAME[:64])])
    now = datetime.now(tz=UTC)
    usage = x509.KeyUsage(
        digital_signature=True,
        content_commitment=True,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=False,
        crl_sign=False,
        encipher_only=False,
        decipher_only=False,
    )
    certificate = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(minutes=5))
        .not_valid_after(now + OWN_KEY_LASTS)
        .add_extension(usage, critical=True)
        .sign(key, hashes.SHA256())
    )
    given = passphrase()
    sealed = BestAvailableEncryption(given) if given else NoEncryption()
    return serialize_key_and_certificates(b"papers", key, certificate, None, sealed)
