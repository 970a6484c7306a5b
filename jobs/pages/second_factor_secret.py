"""How the secret of a second factor is handed to an app: a square to scan, letters to type."""

from base64 import b32encode

import segno
from django.utils.safestring import SafeString, mark_safe
from django_otp.plugins.otp_totp.models import TOTPDevice

GROUP = 4


def secret_svg(device: TOTPDevice) -> SafeString:
    """Dark on white whatever the page looks like, for cameras."""
    drawn = segno.make(device.config_url, error="m").svg_inline(
        scale=6, light="#ffffff", dark="#000000", title="The secret, for the camera of your app"
    )
    return mark_safe(drawn)  # noqa: S308 drawn here, of squares


def secret_in_groups(device: TOTPDevice) -> str:
    """Base 32 (RFC 4648), in groups of four."""
    secret = b32encode(device.bin_key).decode()
    return " ".join(secret[at : at + GROUP] for at in range(0, len(secret), GROUP))
