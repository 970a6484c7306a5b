"""The bytes that no signature covers: its own place in the file.

They are what a writer puts there and nothing else: the signature in hexadecimal digits, then zeros.
What is wrapped around what was signed (CMS, RFC 5652) says nothing of its own, so that no bit of it
can be changed unnoticed.
"""

from asn1crypto import cms
from pyhanko.sign.validation.pdf_embedded import EmbeddedPdfSignature

FROM_START_TO_END = 4
UNSIGNED = {"signature_time_stamp_token"}


def is_plainly_written(content: bytes, signature: EmbeddedPdfSignature) -> bool:
    """Whether a signature leaves out its own place alone, and that holds what it has to."""
    ranges = list(signature.byte_range)
    if len(ranges) != FROM_START_TO_END or ranges[0] != 0:
        return False
    place = content[ranges[1] : ranges[2]]
    wrapped = cms.ContentInfo.load(signature.pkcs7_content)
    # Encoded anew, since what was read may have been padded inside.
    digits = wrapped.dump(force=True).hex().upper().encode()
    return (
        place.startswith(b"<" + digits)
        and place.endswith(b">")
        and not place[1 + len(digits) : -1].strip(b"0")
        and _says_nothing_of_its_own(wrapped["content"])
    )


def _says_nothing_of_its_own(wrapped: cms.SignedData) -> bool:
    (signer,) = wrapped["signer_infos"]
    unsigned = list(signer["unsigned_attrs"] or ())
    tokens = [token for attribute in unsigned for token in attribute["values"]]
    of_data = wrapped["encap_content_info"]["content_type"].native == "data"
    return (
        wrapped["version"].native == ("v1" if of_data else "v3")
        and [algorithm.dump() for algorithm in wrapped["digest_algorithms"]]
        == [signer["digest_algorithm"].dump()]
        and not wrapped["crls"]
        and signer["version"].native == "v1"
        and _names_its_certificate(signer, wrapped["certificates"])
        and {attribute["type"].native for attribute in unsigned} <= UNSIGNED
        and all(_says_nothing_of_its_own(token["content"]) for token in tokens)
    )


def _names_its_certificate(signer: cms.SignerInfo, certificates: cms.CertificateSet) -> bool:
    """To the letter: names are compared by readers without regard to capitals."""
    named = signer["sid"].chosen
    return any(
        (named["issuer"].dump(), named["serial_number"].native)
        == (certificate.chosen.issuer.dump(), certificate.chosen.serial_number)
        for certificate in certificates
    )
