"""Draws a plain picture of a chassis, to stand where a photograph would."""

import hashlib
import io

from PIL import Image, ImageDraw, ImageFont

SIZE = (1200, 800)
PAPER, METAL, EDGE, INK, GLASS = "#efe9da", "#9aa5ab", "#4d565c", "#1b2733", "#c9d7dc"


def draw_chassis(serial: str, title: str) -> io.BytesIO:
    """Draw a chassis from above: a tray, its valves, its terminal strips and its label."""
    picture = Image.new("RGB", SIZE, PAPER)
    pen = ImageDraw.Draw(picture)
    pen.rectangle((90, 130, 1110, 640), fill=METAL, outline=EDGE, width=6)
    seed = hashlib.sha256(serial.encode()).digest()
    for place in range(3 + seed[0] % 6):
        _valve(pen, 180 + 115 * place, 260 + 24 * (seed[place + 1] % 5))
    for strip in range(8):
        pen.rectangle((150 + 120 * strip, 560, 230 + 120 * strip, 610), fill="#7b4a22", outline=EDGE, width=3)
    pen.rectangle((90, 670, 760, 770), fill="#fffdf8", outline=INK, width=3)
    pen.text((110, 682), serial, fill=INK, font=ImageFont.load_default(size=40))
    pen.text((110, 730), f"{title} (a drawing, not a photograph)", fill=INK, font=ImageFont.load_default(size=24))
    file = io.BytesIO()
    picture.save(file, "JPEG", quality=80)
    file.seek(0)
    file.name = f"{serial}.jpg"
    return file


def _valve(pen: ImageDraw.ImageDraw, x: int, y: int) -> None:
    pen.ellipse((x - 44, y - 44, x + 44, y + 44), fill=EDGE)
    pen.ellipse((x - 34, y - 34, x + 34, y + 34), fill=GLASS, outline=INK, width=3)
    pen.ellipse((x - 10, y - 10, x + 10, y + 10), fill="#d98b46")
