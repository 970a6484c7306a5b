"""A time stamp authority of the tests' own, on this machine."""

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

from asn1crypto import keys, tsp
from asn1crypto import x509 as asn1_x509
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import rsa
from cryptography.x509.oid import ExtendedKeyUsageOID
from pyhanko.sign.timestamps import DummyTimeStamper

NAME = "Sampleton Time (an invented authority)"


class Authority:
    """Answers by RFC 3161 while it is not `away`; `ahead` is how far its clock is."""

    def __init__(self, lasts: timedelta = timedelta(days=3650)) -> None:
        self.key = rsa.generate_private_key(65537, 2048)
        self.certificate = _certificate(self.key, lasts)
        self.away = False
        self.answers = 0
        self.ahead = timedelta()

    def answer(self, request: bytes) -> bytes:
        self.answers += 1
        encoded = self.key.private_bytes(
            serialization.Encoding.DER,
            serialization.PrivateFormat.PKCS8,
            serialization.NoEncryption(),
        )
        # reference library: pyHanko 0.38, its time stamper for tests
        stamper = DummyTimeStamper(
            asn1_x509.Certificate.load(self.certificate.public_bytes(serialization.Encoding.DER)),
            keys.PrivateKeyInfo.load(encoded),
            fixed_dt=datetime.now(tz=UTC).replace(microsecond=0) + self.ahead,
        )
        response: bytes = stamper.request_tsa_response(tsp.TimeStampReq.load(request)).dump()
        return response


@contextmanager
def listening(authority: Authority) -> Iterator[str]:
    """The address of an authority while it listens."""

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            request = self.rfile.read(int(self.headers["Content-Length"]))
            if authority.away:
                self.send_error(503)
                return
            answer = authority.answer(request)
            self.send_response(200)
            self.send_header("Content-Type", "application/timestamp-reply")
            self.send_header("Content-Length", str(len(answer)))
            self.end_headers()
            self.wfile.write(answer)

        def log_message(self, *_: object) -> None:
            """Nothing."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}/"
    finally:
        server.shutdown()
        server.server_close()
        thread.join()


def _certificate(key: rsa.RSAPrivateKey, lasts: timedelta) -> x509.Certificate:
    name = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, NAME)])
    now = datetime.now(tz=UTC)
    return (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + lasts)
        # published: RFC 3161 section 2.3, this purpose alone, and critical
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.TIME_STAMPING]), critical=True)
        .add_extension(
            x509.KeyUsage(
                digital_signature=True,
                content_commitment=True,
                key_encipherment=False,
                data_encipherment=False,
                key_agreement=False,
                key_cert_sign=False,
                crl_sign=False,
                encipher_only=False,
                decipher_only=False,
            ),
            critical=True,
        )
        .sign(key, hashes.SHA256())
    )
