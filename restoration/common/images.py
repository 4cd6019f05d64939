"""A photograph made again from its pixels, so that nothing else that came in its file is kept or served.

Only JPEG, PNG and WebP are read, told by their content and never by their name. What is kept is a JPEG of
at most 2000 pixels a side, upright, and a small one for lists. Position, comments, profiles and whatever
was hidden behind the picture stay behind. Decode outside a transaction: a large picture takes a second.
"""

import hashlib
import io
import warnings
from dataclasses import dataclass
from typing import IO

import numpy as np
from django.core.exceptions import ValidationError
from PIL import Image

MOST_BYTES = 20 * 1024 * 1024
MOST_PIXELS = 50_000_000
LEAST_SIDE = 16
LARGE_SIDE, SMALL_SIDE = 2000, 480
READ_AS = ("JPEG", "PNG", "WEBP")
ORIENTATION = 0x0112  # the EXIF tag (JEITA CP-3451)
WANTED = "Send a JPEG, PNG or WebP photograph."

Image.MAX_IMAGE_PIXELS = MOST_PIXELS
warnings.filterwarnings("error", category=Image.DecompressionBombWarning)

# How a picture is turned upright, by what EXIF says of the camera's position.
TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}

# What else people send by mistake, by its first bytes, so that the refusal can name it.
OTHERS = (
    (b"GIF8", "a GIF picture"),
    (b"II*\x00", "a TIFF picture"),
    (b"MM\x00*", "a TIFF picture"),
    (b"BM", "a BMP picture"),
    (b"%PDF", "a PDF document"),
    (b"PK\x03\x04", "a zip archive or an office document"),
    (b"<?xml", "a drawing or a web page in text"),
    (b"<svg", "an SVG drawing"),
    (b"<", "a web page"),
    (b"RIFF", "a sound or a film"),
)


class PhotoRefused(ValidationError):  # noqa: N818  (it is an answer to the sender)
    """A file that is no photograph the site can keep, with the reason in one sentence."""


@dataclass(frozen=True)
class CleanPhoto:
    """A photograph ready to be kept: two JPEGs, the size of the larger, and its SHA-256."""

    image: bytes
    small: bytes
    width: int
    height: int
    sha256: str


def clean_photo(file: IO[bytes]) -> CleanPhoto:
    """Make a photograph again from its pixels; raises PhotoRefused where that cannot be done."""
    large = _within(_decoded(_content(file)), LARGE_SIDE)
    small = _within(large, SMALL_SIDE)
    image = _as_jpeg(large)
    return CleanPhoto(image, _as_jpeg(small), *large.size, hashlib.sha256(image).hexdigest())


def _content(file: IO[bytes]) -> bytes:
    """Read the file, but no more of it than a photograph may have."""
    file.seek(0)
    content = file.read(MOST_BYTES + 1)
    if not content:
        raise PhotoRefused("The file is empty; perhaps the photograph was not yet stored on the phone. Try again.")
    if len(content) > MOST_BYTES:
        raise PhotoRefused("This file has more than 20 megabytes. Send a smaller photograph.")
    return content


def _decoded(content: bytes) -> Image.Image:
    """Decode to upright RGB pixels; refuse whatever is not one still photograph."""
    try:
        picture = Image.open(io.BytesIO(content), formats=READ_AS)
        _refuse_size(*picture.size)
        _refuse_moving(picture)
        picture.draft("RGB", (LARGE_SIDE, LARGE_SIDE))  # a JPEG is decoded straight to a smaller size
        picture.load()
        turn = TURNS.get(_orientation(picture))
        return _turned(_flattened(picture), turn)
    except PhotoRefused:
        raise
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise PhotoRefused(_too_large()) from None
    except Exception:  # a hostile file may make a decoder raise anything at all
        raise PhotoRefused(_why_unreadable(content)) from None


def _refuse_size(width: int, height: int) -> None:
    if width * height > MOST_PIXELS:
        raise PhotoRefused(_too_large())
    if min(width, height) < LEAST_SIDE:
        raise PhotoRefused(
            f"This picture has {width} × {height} pixels, which shows nothing. "
            f"Send one with {LEAST_SIDE} pixels or more each way."
        )


def _refuse_moving(picture: Image.Image) -> None:
    # A phone's JPEG may carry second views behind the photograph (MPO): the first is the photograph.
    if picture.format in ("PNG", "WEBP") and getattr(picture, "is_animated", False):
        raise PhotoRefused(f"This picture moves. {WANTED}")


def _too_large() -> str:
    return "This picture has more than 50 million pixels. Send a photograph of fewer."


def _why_unreadable(content: bytes) -> str:
    """Say what a file seems to be instead, or that it came broken."""
    start = content[:64].lstrip(b"\xef\xbb\xbf \t\r\n")
    if content[4:8] == b"ftyp":
        return f"This looks like a HEIC picture or a film, which cannot be read here. {WANTED}"
    if content[:2] == b"\xff\xd8" or content[:4] == b"\x89PNG" or content[8:12] == b"WEBP":
        return "This photograph is broken or ends too early, so it cannot be read. Send it again."
    for first, name in OTHERS:
        if start.startswith(first):
            return f"This looks like {name}, not a photograph. {WANTED}"
    return f"This file is not a photograph. {WANTED}"


def _orientation(picture: Image.Image) -> int:
    """Read how the camera was held; broken EXIF does not spoil a good photograph."""
    try:
        held = picture.getexif().get(ORIENTATION, 1)
    except Exception:  # EXIF is as hostile as the rest of the file
        return 1
    return held if isinstance(held, int) else 1


def _flattened(picture: Image.Image) -> Image.Image:
    """Paste the pixels into a fresh RGB image, white where they were see-through."""
    if picture.mode.startswith("I"):  # 16 bits a pixel: keep the upper eight
        picture = Image.fromarray((np.asarray(picture).astype(np.uint32) >> 8).astype(np.uint8))
    fresh = Image.new("RGB", picture.size, "white")
    if picture.has_transparency_data:
        clear = picture.convert("RGBA")
        fresh.paste(clear, mask=clear.getchannel("A"))
    else:
        fresh.paste(picture.convert("RGB"))
    return fresh


def _turned(picture: Image.Image, turn: Image.Transpose | None) -> Image.Image:
    return picture if turn is None else picture.transpose(turn)


def _within(picture: Image.Image, side: int) -> Image.Image:
    """Make a copy no larger than `side` either way; a smaller picture keeps its size."""
    copy = picture.copy()
    copy.thumbnail((side, side), Image.Resampling.LANCZOS)
    return copy


def _as_jpeg(picture: Image.Image) -> bytes:
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=85, optimize=True)
    return out.getvalue()
