"""A program that takes webhooks: an HTTPS server on this machine with a certificate of its own."""

import ssl
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec

HOST = "hooks.example.com"


@dataclass
class Receiver:
    """Answers with `status`; keeps headers and body of every request."""

    port: int
    trust: ssl.SSLContext
    status: int = 200
    headers: dict[str, str] = field(default_factory=dict)
    taken: list[tuple[dict[str, str], bytes]] = field(default_factory=list)

    @property
    def address(self) -> str:
        return f"https://{HOST}:{self.port}/doors?from=sillwright"


@contextmanager
def receiving(folder: Path) -> Iterator[Receiver]:
    certificate, key = _certificate(folder)
    server = ThreadingHTTPServer(("127.0.0.1", 0), BaseHTTPRequestHandler)
    receiver = Receiver(
        port=server.server_address[1], trust=ssl.create_default_context(cafile=str(certificate))
    )
    server.RequestHandlerClass = _handler(receiver)
    tls = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    tls.load_cert_chain(certificate, key)
    server.socket = tls.wrap_socket(server.socket, server_side=True)
    thread = Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield receiver
    server.shutdown()
    server.server_close()


def _handler(receiver: Receiver) -> type[BaseHTTPRequestHandler]:
    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            body = self.rfile.read(int(self.headers["Content-Length"]))
            receiver.taken.append((dict(self.headers), body))
            self.send_response(receiver.status)
            for name, value in receiver.headers.items():
                self.send_header(name, value)
            self.end_headers()

        def log_message(self, *args: object) -> None:
            """Quiet."""

    return Handler


def _certificate(folder: Path) -> tuple[Path, Path]:
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, HOST)])
    now = datetime.now(tz=UTC)
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=3650))
        .not_valid_after(now + timedelta(days=3650))
        .add_extension(x509.SubjectAlternativeName([x509.DNSName(HOST)]), critical=False)
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        .sign(key, hashes.SHA256())
    )
    certificate, secret = folder / "receiver.pem", folder / "receiver.key"
    certificate.write_bytes(made.public_bytes(serialization.Encoding.PEM))
    secret.write_bytes(
        key.private_bytes(
            serialization.Encoding.PEM,
            serialization.PrivateFormat.PKCS8,
            serialization.NoEncryption(),
        )
    )
    return certificate, secret
