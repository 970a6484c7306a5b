"""Sending an event to a program over HTTPS, signed as Standard Webhooks says.

The address comes from a person, so it is not trusted: only https, only hosts all of whose addresses
are public, no redirects, and the connection goes to the very address that was checked, whatever
the name resolves to a moment later.
"""

import base64
import ipaddress
import secrets
import socket
import ssl
from http import HTTPStatus
from http.client import HTTPException, HTTPSConnection
from typing import cast
from urllib.parse import urlsplit

from django.utils import timezone
from django.utils.translation import gettext as _
from standardwebhooks import Webhook

from jobs.sentences import StoredSentence, sentence
from reports.errors import DeliveryFailed
from reports.models import Dispatch, WebhookEndpoint

SECRET_PREFIX = "whsec_"  # noqa: S105 it marks what follows as a secret
SECRET_BYTES = 32
ANSWER_WITHIN_SECONDS = 20
HTTPS_PORT = 443
NOT_REACHED = StoredSentence("the receiver could not be reached ({error})")
ANSWERED = StoredSentence("the receiver answered {status}")


def new_secret() -> str:
    return SECRET_PREFIX + base64.b64encode(secrets.token_bytes(SECRET_BYTES)).decode()


def send_webhook(dispatch: Dispatch) -> str:
    """One attempt; returns its outcome. Raises `DeliveryFailed`."""
    endpoint = cast(WebhookEndpoint, dispatch.endpoint)
    now = timezone.now()
    headers = {
        "Content-Type": "application/json",
        "User-Agent": "Sillwright",
        "webhook-id": dispatch.message_id,
        "webhook-timestamp": str(int(now.timestamp())),
        "webhook-signature": Webhook(endpoint.secret).sign(dispatch.message_id, now, dispatch.body),
    }
    try:
        status = _post(endpoint.address, dispatch.body.encode(), headers)
    except (OSError, HTTPException) as fault:
        raise DeliveryFailed(NOT_REACHED(error=type(fault).__name__)) from fault
    if not HTTPStatus.OK <= status < HTTPStatus.MULTIPLE_CHOICES:
        gone = status == HTTPStatus.GONE
        raise DeliveryFailed(ANSWERED(status=status), final=gone, gone=gone)
    return ANSWERED(status=status)


def unusable_address(address: str) -> str:
    """Why an address cannot be used, as far as its syntax tells; empty when it can."""
    try:
        parts = urlsplit(address)
        host, port = parts.hostname or "", parts.port
    except ValueError:
        return _("not an address; give one such as https://hooks.example.com/doors")
    if parts.scheme != "https" or not host or port == 0:
        return _("give an address that begins with https://")
    if parts.username is not None or parts.fragment:
        return _("leave out names, passwords and what follows a #")
    try:
        private = not ipaddress.ip_address(host).is_global
    except ValueError:
        private = host == "localhost" or "." not in host
    return _("the address leads into a private network") if private else ""


def _post(address: str, body: bytes, headers: dict[str, str]) -> int:
    """The status of the answer; its body is not read. No redirect is followed."""
    parts = urlsplit(address)
    path = (parts.path or "/") + (f"?{parts.query}" if parts.query else "")
    connection = _CheckedConnection(
        parts.hostname or "",
        parts.port or HTTPS_PORT,
        timeout=ANSWER_WITHIN_SECONDS,
        context=trusted_receivers(),
    )
    try:
        connection.request("POST", path, body, headers)
        return connection.getresponse().status
    finally:
        connection.close()


class _CheckedConnection(HTTPSConnection):
    """Connects to an address that was checked to be public, and wants the host's certificate."""

    def connect(self) -> None:
        address = public_address(self.host, self.port)
        plain = socket.create_connection((address, self.port), self.timeout)
        self.sock = trusted_receivers().wrap_socket(plain, server_hostname=self.host)


def trusted_receivers() -> ssl.SSLContext:
    return ssl.create_default_context()


def public_address(host: str, port: int) -> str:
    """One address of the host. Raises `DeliveryFailed` where any of its addresses is not public:
    inside the firm's own network there are things that trust whoever can reach them."""
    infos = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    addresses = [str(info[4][0]) for info in infos]
    if not addresses or not all(ipaddress.ip_address(a).is_global for a in addresses):
        raise DeliveryFailed(sentence("the address leads into a private network"), final=True)
    return addresses[0]
