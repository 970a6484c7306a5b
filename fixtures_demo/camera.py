"""The demo's camera: a picture that says what a photo would show."""

from io import BytesIO
from textwrap import wrap

from PIL import Image, ImageDraw, ImageFont

SIZE = (1200, 900)
WALL, PANEL, INK = "#d9d2c5", "#f7f4ee", "#22303c"


def picture_of(words: str) -> bytes:
    """A JPEG with these words on it."""
    image = Image.new("RGB", SIZE, WALL)
    draw = ImageDraw.Draw(image)
    draw.rectangle((100, 100, SIZE[0] - 100, SIZE[1] - 100), fill=PANEL, outline=INK, width=6)
    lines = "\n".join(wrap(f"Photo of the demo: {words}", 34))
    draw.multiline_text((160, 180), lines, fill=INK, font=ImageFont.load_default(48), spacing=18)
    written = BytesIO()
    image.save(written, "JPEG", quality=80)
    return written.getvalue()
