"""Signing papers so that whoever changes a byte of one breaks its signature.

PAdES, baseline B (ETSI EN 319 142-1): an approval signature without a time stamp of somebody else;
the journal and its seals say when a paper was made. The key comes from a PKCS #12 file
(`SIGNING_KEY_FILE`); without one a key is made once and kept in the data folder. A key of one's own
making proves that nothing was changed since, not who the firm is.
"""

import os
from datetime import UTC, datetime, timedelta
from functools import cache
from io import BytesIO
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import BestAvailableEncryption, NoEncryption
from cryptography.hazmat.primitives.serialization.pkcs12 import serialize_key_and_certificates
from django.conf import settings
from django.utils.translation import gettext as _
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign.fields import SigFieldSpec, SigSeedSubFilter
from pyhanko.sign.signers import PdfSignatureMetadata, PdfSigner, SimpleSigner

FIELD = "Signature"
OWN_KEY = "signing_key.p12"
OWN_KEY_LASTS = timedelta(days=3653)


class UnusableSigningKey(RuntimeError):
    """The file named by `SIGNING_KEY_FILE` cannot be read, or its passphrase is another one."""


class ArchivalPaper(IncrementalPdfFileWriter):
    """Leaves what makes the paper archival as it is: its metadata say that it is PDF/A
    (ISO 19005-3) and when it was made, and its version is the one that this standard stands on."""

    def ensure_output_version(self, version: tuple[int, int]) -> None:
        """The kind of signature is of PDF 2.0, the paper is not; readers take it nonetheless."""

    def _update_meta(self) -> None:
        """The library would write metadata of its own instead."""


def sign_paper(pdf: bytes, reason: str) -> bytes:
    """The same PDF with an invisible signature added behind it; nothing before it changes."""
    signer = PdfSigner(
        PdfSignatureMetadata(
            field_name=FIELD,
            md_algorithm="sha256",
            subfilter=SigSeedSubFilter.PADES,
            reason=reason,
            name=settings.FIRM_NAME,
        ),
        signer=_signer(),
        new_field_spec=SigFieldSpec(FIELD),
    )
    signed = BytesIO()
    signer.sign_pdf(ArchivalPaper(BytesIO(pdf)), output=signed)
    return signed.getvalue()


@cache
def _signer() -> SimpleSigner:
    """Once per process. Raises `UnusableSigningKey`."""
    path = Path(settings.SIGNING_KEY_FILE or _own_key())
    passphrase = settings.SIGNING_KEY_PASSPHRASE.encode() or None
    signer = SimpleSigner.load_pkcs12(str(path), passphrase=passphrase)
    if signer is None:
        message = _("{path} holds no key that SIGNING_KEY_PASSPHRASE opens")
        raise UnusableSigningKey(message.format(path=path))
    return signer


def _own_key() -> Path:
    """Where the key of our own making lies; it is made the first time."""
    path = Path(settings.DATA_DIR) / OWN_KEY
    if not path.exists():
        fresh = path.with_suffix(f".{os.getpid()}")
        fresh.touch(mode=0o600)
        fresh.write_bytes(_self_made())
        # Of several processes that get here at once the first one wins, whole.
        try:
            os.link(fresh, path)
        except FileExistsError:
            pass
        finally:
            fresh.unlink()
    return path


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
    passphrase = settings.SIGNING_KEY_PASSPHRASE.encode()
    sealed = BestAvailableEncryption(passphrase) if passphrase else NoEncryption()
    return serialize_key_and_certificates(b"papers", key, certificate, None, sealed)
