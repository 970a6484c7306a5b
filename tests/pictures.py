"""Pictures as phones send them, and files that only look like pictures."""

from io import BytesIO

import pillow_heif
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

ORIENTATION, GPS, DESCRIPTION = 0x0112, 0x8825, 0x010E


def picture(kind="JPEG", size=(640, 480), mode="RGB", colour="teal", **options) -> bytes:
    written = BytesIO()
    Image.new(mode, size, colour).save(written, kind, **options)
    return written.getvalue()


def picture_number(number: int) -> bytes:
    """One that no other number gives: a picture is evidence of one step alone."""
    return picture(colour=f"hsl({number * 37 % 360}, {40 + number % 50}%, 50%)")


def picture_that_shows_something(colour: str = "teal") -> bytes:
    """Half of it in this colour, half in white."""
    written = BytesIO()
    image = Image.new("RGB", (640, 480), colour)
    image.paste("white", (0, 0, 320, 480))
    image.save(written, "JPEG")
    return written.getvalue()


def picture_from_a_phone(orientation=1, size=(640, 480)) -> bytes:
    """With the place of the house, a description and the way the phone was held."""
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    exif[DESCRIPTION] = "9 Secret Lane"
    exif.get_ifd(GPS)[2] = (51.0, 30.0, 0.0)
    return picture(size=size, exif=exif, comment=b"9 Secret Lane")


def heic() -> bytes:
    written = BytesIO()
    pillow_heif.from_pillow(Image.new("RGB", (640, 480), "teal")).save(written)
    return written.getvalue()


def upload(content: bytes) -> SimpleUploadedFile:
    """A file whose name is made to do harm where it is shown."""
    return SimpleUploadedFile("<script>.jpg", content)


def opened(content: bytes) -> Image.Image:
    return Image.open(BytesIO(content))
