"""Makes the picture fixtures beside this file. Run by hand: python3 make_with_pillow.py (made with Pillow 13.0).

The reference for turning a picture upright is Pillow's ImageOps.exif_transpose.
"""

import io
from pathlib import Path

from PIL import Image, ImageOps

HERE = Path(__file__).parent
ORIENTATION = 0x0112
COLOURS = ["red", "lime", "blue", "white", "black", "yellow"]


def blocks() -> Image.Image:
    """Three by two blocks of 16 pixels, no two alike, so that every turn and flip shows."""
    picture = Image.new("RGB", (48, 32))
    for number, colour in enumerate(COLOURS):
        x, y = number % 3 * 16, number // 3 * 16
        picture.paste(colour, (x, y, x + 16, y + 16))
    return picture


def upright(picture: Image.Image, orientation: int) -> Image.Image:
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    held = io.BytesIO()
    picture.save(held, "PNG", exif=exif)
    return ImageOps.exif_transpose(Image.open(held))


def shades() -> Image.Image:
    picture = Image.new("RGB", (96, 64))
    picture.putdata([(x * 2, y * 3, (x * y) % 256) for y in range(64) for x in range(96)])
    return picture


blocks().save(HERE / "blocks.png")
for number in range(1, 9):
    upright(blocks(), number).save(HERE / f"upright-{number}.png")
shades().save(HERE / "progressive.jpg", progressive=True, quality=80)
shades().convert("CMYK").save(HERE / "cmyk.jpg", quality=80)
