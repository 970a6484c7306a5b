"""Photographs from phones: checked before they are decoded, and re-encoded without their secrets.

A phone writes the place of the house into every picture, and a small file can claim to hold a
billion pixels. What is kept is a JPEG of the picture alone, turned the way it was taken, and a
small one of it for lists.
"""

import hashlib
from dataclasses import dataclass
from io import BytesIO

from django.utils.translation import gettext as _
from PIL import Image, ImageFile, ImageOps, ImageStat
from pillow_heif import register_heif_opener

from jobs.figures import number

register_heif_opener()

READ_FORMATS = ("JPEG", "PNG", "HEIF")
JPEG_QUALITY = 88
# A JPEG counts its sides in 16 bits; the encoder stops a little before they are used up.
LONGEST_SIDE = 65_500
THUMBNAIL_SIDE = 480


class UnusablePhoto(ValueError):
    """A file that cannot be kept as a photo; the message says why and what is allowed."""


@dataclass(frozen=True, slots=True)
class PhotoLimits:
    """Size of the file in bytes, and of the picture in pixels."""

    size: int
    pixels: int


@dataclass(frozen=True, slots=True)
class CleanPhoto:
    """A JPEG in bytes, without metadata, and a small one; width and height of the first, pixels.
    `spread` is the standard deviation of its most varied colour, in levels of 255."""

    content: bytes
    thumbnail: bytes
    width: int
    height: int
    spread: float

    @property
    def sha256(self) -> str:
        return hashlib.sha256(self.content).hexdigest()


def clean_photo(content: bytes, limits: PhotoLimits) -> CleanPhoto:
    """Re-encode a JPEG, PNG or HEIC picture. Raises `UnusablePhoto` for anything else."""
    check_size(len(content), limits)
    image = _open(content)
    _check_pixels(image, limits)
    return _encode(_decode(image))


def check_size(size: int, limits: PhotoLimits) -> None:
    """Raises `UnusablePhoto` for a file of more bytes than allowed."""
    if size > limits.size:
        raise UnusablePhoto(
            _("{size} MB is too large; give at most {limit} MB").format(
                size=number(size / 1_000_000, ".1f"), limit=number(limits.size / 1_000_000)
            )
        )


def _check_pixels(image: Image.Image, limits: PhotoLimits) -> None:
    if image.width * image.height > limits.pixels:
        raise UnusablePhoto(
            _("{width} x {height} pixels are too many; give at most {limit} million").format(
                width=image.width,
                height=image.height,
                limit=number(limits.pixels / 1_000_000),
            )
        )
    if max(image.size) > LONGEST_SIDE:
        raise UnusablePhoto(
            _(
                "{width} x {height} pixels are too long and thin for a JPEG; give sides of at "
                "most {longest}"
            ).format(width=image.width, height=image.height, longest=LONGEST_SIDE)
        )


def _open(content: bytes) -> Image.Image:
    """Reads the header only; what the file is called or claims to be does not matter."""
    try:
        return Image.open(BytesIO(content), formats=READ_FORMATS)
    except Image.DecompressionBombError as error:
        raise UnusablePhoto(_("it holds far too many pixels")) from error
    except Exception as error:
        # Decoders meet hostile files with errors of every kind.
        raise UnusablePhoto(_("not a picture that can be read; give JPEG, PNG or HEIC")) from error


def _decode(image: Image.Image) -> Image.Image:
    """The first picture of the file, upright, on white where it is transparent."""
    # The maker of papers lets pictures end early, for the whole process; evidence has to be whole.
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    try:
        # In place, and converted only where it must be: a copy of a large picture is 180 MB.
        ImageOps.exif_transpose(image, in_place=True)
        image.load()
        if not image.has_transparency_data:
            return image if image.mode == "RGB" else image.convert("RGB")
        layered = image.convert("RGBA")
    except Exception as error:
        # The header was sound and the rest is not: cut off on the way, or made to do harm.
        raise UnusablePhoto(_("the picture is damaged or not complete; send it again")) from error
    paper = Image.new("RGB", layered.size, "white")
    paper.paste(layered, mask=layered)
    return paper


def _encode(image: Image.Image) -> CleanPhoto:
    # Pillow writes a comment or a description that it read, unless they are taken away first.
    image.info.clear()
    width, height = image.size
    content = _jpeg(image)
    # In place, now that the large one is written.
    image.thumbnail((THUMBNAIL_SIDE, THUMBNAIL_SIDE))
    spread = max(ImageStat.Stat(image).stddev)
    return CleanPhoto(content, _jpeg(image), width, height, spread)


def _jpeg(image: Image.Image) -> bytes:
    written = BytesIO()
    image.save(written, "JPEG", quality=JPEG_QUALITY)
    return written.getvalue()
