"""Photographs as they come from a phone, made safe to keep: pure, on bytes.

Size and pixel count are checked before anything is decoded; what is kept is encoded anew, turned the
right way up, without where it was taken.
"""

import io
from dataclasses import dataclass

import pillow_heif
from PIL import Image, ImageOps, UnidentifiedImageError

from jobs.refusals import InvalidField

pillow_heif.register_heif_opener()  # type: ignore[attr-defined]

LARGEST_BYTES = 12 * 1024 * 1024
MOST_PIXELS = 60_000_000
FORMATS = ("JPEG", "PNG", "HEIF")
JPEG_QUALITY = 88


@dataclass(frozen=True, slots=True)
class SafePhoto:
    """A JPEG encoded here; sizes in pixels."""

    content: bytes
    width: int
    height: int


def make_safe(content: bytes) -> SafePhoto:
    """Check and encode one photograph anew. Raises `InvalidField` at `/image` with the reason."""
    if len(content) > LARGEST_BYTES:
        allowed = LARGEST_BYTES // (1024 * 1024)
        raise InvalidField("/image", f"{len(content):,} bytes are too many; at most {allowed} MB")
    try:
        with Image.open(io.BytesIO(content), formats=FORMATS) as image:
            _check_pixels(image)
            return _encode(image)
    except (UnidentifiedImageError, Image.DecompressionBombError):
        raise InvalidField("/image", "not a JPEG, PNG or HEIC picture") from None
    except (OSError, SyntaxError, ValueError) as error:
        raise InvalidField("/image", "the picture is damaged and cannot be read") from error


def _check_pixels(image: Image.Image) -> None:
    pixels = image.width * image.height
    if pixels > MOST_PIXELS:
        raise InvalidField(
            "/image", f"{image.width} x {image.height} pixels are too many; at most {MOST_PIXELS:,}"
        )


def _encode(image: Image.Image) -> CleanPhoto:
    # Pillow writes a comment or a description that it read, unless they are taken away first.
    image.info.clear()
    written = BytesIO()
    image.save(written, "JPEG", quality=JPEG_QUALITY)
    return CleanPhoto(written.getvalue(), image.width, image.height)
