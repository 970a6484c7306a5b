"""Signatures of papers, as a validator that is not ours sees them."""

import io
import os

import pikepdf
import pytest
from cryptography.hazmat.primitives.serialization import BestAvailableEncryption
from cryptography.hazmat.primitives.serialization.pkcs12 import (
    load_key_and_certificates,
    serialize_key_and_certificates,
)
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.validation import validate_pdf_signature
from pyhanko_certvalidator import ValidationContext

from reports import signing, signing_key
from reports.papers.rendering import render_pdf
from reports.signing import sign_paper
from reports.signing_key import UnusableSigningKey, signing_certificates


@pytest.fixture(autouse=True)
def _own_folder(settings, tmp_path):
    settings.DATA_DIR = tmp_path


@pytest.fixture(scope="module")
def paper() -> bytes:
    html = '<html lang="en"><head><title>Paper</title></head><body><h1>Paper</h1></body></html>'
    return render_pdf(html, {}, {}, "paper")


def validated(pdf: bytes):
    # reference library: pyHanko 0.38, its validator
    (signature,) = PdfFileReader(io.BytesIO(pdf)).embedded_signatures
    own = signing._signer(signing_key.key_file(), signing_key.passphrase()).signing_cert
    assert own is not None
    return validate_pdf_signature(signature, ValidationContext(trust_roots=[own]))


def test_a_signed_paper_is_valid_whole_and_of_the_firm(paper, settings):
    settings.FIRM_NAME = "Example Doors"
    status = validated(sign_paper(paper, "Completion certificate"))
    assert status.bottom_line
    assert status.coverage.name == "ENTIRE_FILE"
    assert status.signing_cert.subject.native["common_name"] == "Example Doors"


def test_a_changed_byte_breaks_the_signature(paper):
    signed = bytearray(sign_paper(paper, "Completion certificate"))
    signed[11] ^= 1  # in the comment of its first lines, which no reader looks at
    assert not validated(bytes(signed)).intact


def test_the_paper_stays_what_it_was_before_the_signature(paper):
    signed = sign_paper(paper, "Completion certificate")
    assert signed.startswith(paper)
    with pikepdf.open(io.BytesIO(signed)) as pdf:
        with pikepdf.open(io.BytesIO(paper)) as unsigned:
            assert pdf.Root.Metadata.read_bytes() == unsigned.Root.Metadata.read_bytes()
        assert "/Version" not in pdf.Root
        (field,) = pdf.Root.AcroForm.Fields
        # published: ISO 19005-3 6.3.2, a widget is printed and not hidden
        assert int(field.F) & 0b100
        assert not int(field.F) & 0b10


def test_the_key_of_ones_own_is_made_once_and_for_oneself(paper, tmp_path):
    sign_paper(paper, "first")
    key = tmp_path / signing_key.OWN_KEY
    made, mode = key.read_bytes(), key.stat().st_mode & 0o777
    signing_key.content_of.cache_clear()
    sign_paper(paper, "second")
    assert (key.read_bytes(), mode) == (made, 0o600)
    assert os.listdir(tmp_path) == [signing_key.OWN_KEY]


def test_a_key_of_the_firm_is_opened_by_its_passphrase(paper, settings, tmp_path):
    key, certificate, _ = load_key_and_certificates(signing_key._self_made(), None)
    file = tmp_path / "firm.p12"
    sealed = BestAvailableEncryption(b"open sesame")
    file.write_bytes(serialize_key_and_certificates(b"firm", key, certificate, None, sealed))
    settings.SIGNING_KEY_FILE, settings.SIGNING_KEY_PASSPHRASE = str(file), "open sesame"
    assert validated(sign_paper(paper, "with it")).bottom_line
    settings.SIGNING_KEY_PASSPHRASE = "another"
    with pytest.raises(UnusableSigningKey, match=r"firm\.p12"):
        sign_paper(paper, "without it")


def test_a_process_signs_with_the_key_that_it_names_in_records(paper, settings, tmp_path):
    """Where another data folder, or another file at the same place, holds another key."""
    named = signing_certificates()
    (tmp_path / signing_key.OWN_KEY).write_bytes(signing_key._self_made())
    assert signed_by(sign_paper(paper, "with the first")) == signing_certificates() == named
    settings.DATA_DIR = tmp_path / "other"
    settings.DATA_DIR.mkdir()
    assert signed_by(sign_paper(paper, "with another")) == signing_certificates() != named


def signed_by(pdf: bytes) -> tuple[str, ...]:
    (signature,) = PdfFileReader(io.BytesIO(pdf)).embedded_signatures
    return (signature.signer_cert.sha256.hex(),)
