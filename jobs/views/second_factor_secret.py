"""How the secret of a second factor gets into an app: a QR code to scan, or letters to type."""

from base64 import b32encode

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django_otp.plugins.otp_totp.models import TOTPDevice

from jobs.views.qr import qr_code_svg

GROUP = 4


def secret_svg(device: TOTPDevice) -> SafeString:
    return qr_code_svg(device.config_url, _("The secret as a QR code"))


def secret_in_groups(device: TOTPDevice) -> str:
    """Base 32 (RFC 4648), in groups of four."""
    secret = b32encode(device.bin_key).decode()
    return " ".join(secret[at : at + GROUP] for at in range(0, len(secret), GROUP))
