"""QR codes (ISO/IEC 18004), drawn into the page."""

import segno
from django.utils.safestring import SafeString, mark_safe


def qr_code_svg(text: str, title: str) -> SafeString:
    """Dark on white whatever the page looks like, for cameras."""
    drawn = segno.make(text, error="m").svg_inline(
        omitsize=True, light="#ffffff", dark="#000000", title=title
    )
    return mark_safe(drawn)  # noqa: S308 drawn here, of squares
