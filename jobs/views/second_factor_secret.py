"""How the secret of a second factor is handed to an app: a square to scan, letters to type."""

from base64 import b32encode

from django.utils.safestring import SafeString
from django_otp.plugins.otp_totp.models import TOTPDevice

from jobs.views.qr import square_svg

GROUP = 4


def secret_svg(device: TOTPDevice) -> SafeString:
    return square_svg(device.config_url, "The secret, for the camera of your app")


def secret_in_groups(device: TOTPDevice) -> str:
    """Base 32 (RFC 4648), in groups of four."""
    secret = b32encode(device.bin_key).decode()
    return " ".join(secret[at : at + GROUP] for at in range(0, len(secret), GROUP))
