"""Photographs are made again from their pixels: what goes in beside the picture never comes out."""

import hashlib
import io
import struct
import warnings
import zlib

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageCms, PngImagePlugin

from restoration.common import images
from restoration.common.images import PhotoRefused, clean_photo

RED, GREEN, BLUE, WHITE = (200, 30, 30), (30, 160, 30), (30, 30, 200), (240, 240, 240)
SECRET = b"Net Loft, third door"


def corners(width: int = 96, height: int = 64) -> Image.Image:
    """A picture whose four quarters differ: red, green over blue, white."""
    picture = Image.new("RGB", (width, height), WHITE)
    picture.paste(RED, (0, 0, width // 2, height // 2))
    picture.paste(GREEN, (width // 2, 0, width, height // 2))
    picture.paste(BLUE, (0, height // 2, width // 2, height))
    return picture


def stored(picture: Image.Image, kind: str = "JPEG", **how: object) -> bytes:
    out = io.BytesIO()
    picture.save(out, kind, **how)
    return out.getvalue()


def clean(content: bytes) -> images.CleanPhoto:
    return clean_photo(io.BytesIO(content))


def opened(content: bytes) -> Image.Image:
    picture = Image.open(io.BytesIO(content))
    picture.load()
    return picture


def quarters(picture: Image.Image) -> list[tuple[int, ...]]:
    """The colour in the middle of each quarter: top left, top right, below left, below right."""
    width, height = picture.size
    return [picture.getpixel((width * x // 4, height * y // 4)) for y in (1, 3) for x in (1, 3)]


def assert_quarters(picture: Image.Image, wanted: list[tuple[int, ...]]) -> None:
    for found, colour in zip(quarters(picture), wanted, strict=True):
        assert max(abs(a - b) for a, b in zip(found, colour, strict=True)) < 24, (found, colour)


def exif_with_everything(orientation: int = 1) -> Image.Exif:
    exif = Image.Exif()
    exif[0x0112] = orientation
    exif[0x010F] = "Harbour Optical"
    exif[0x010E] = SECRET.decode()
    exif.get_ifd(0x8825).update({1: "N", 2: (51.0, 30.0, 0.0), 3: "W", 4: (3.0, 12.0, 0.0)})
    return exif


def refusal(content: bytes) -> str:
    with pytest.raises(PhotoRefused) as refused:
        clean(content)
    (sentence,) = refused.value.messages
    assert sentence[0].isupper(), sentence
    assert sentence.endswith("."), sentence
    return sentence


# --- what is kept ---


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_three_kinds_are_read_and_kept_as_jpeg(kind):
    photo = clean(stored(corners(), kind))
    assert (photo.width, photo.height) == (96, 64)
    for content in (photo.image, photo.small):
        assert opened(content).format == "JPEG"
        assert_quarters(opened(content), [RED, GREEN, BLUE, WHITE])


def test_a_large_photograph_is_kept_at_2000_pixels_and_shown_small_at_480():
    photo = clean(stored(corners(4000, 3000)))
    assert (photo.width, photo.height) == (2000, 1500)
    assert opened(photo.image).size == (2000, 1500)
    assert opened(photo.small).size == (480, 360)
    assert_quarters(opened(photo.small), [RED, GREEN, BLUE, WHITE])


def test_a_large_png_is_made_smaller_too():
    assert opened(clean(stored(corners(2400, 1200), "PNG")).image).size == (2000, 1000)


def test_the_sum_is_that_of_what_is_kept():
    photo = clean(stored(corners()))
    assert photo.sha256 == hashlib.sha256(photo.image).hexdigest()


# What Pillow draws for each EXIF orientation, worked out by hand from JEITA CP-3451: where the stored top left
# quarter belongs when the picture stands upright.
HELD = {
    1: [RED, GREEN, BLUE, WHITE],
    2: [GREEN, RED, WHITE, BLUE],
    3: [WHITE, BLUE, GREEN, RED],
    4: [BLUE, WHITE, RED, GREEN],
    5: [RED, BLUE, GREEN, WHITE],
    6: [BLUE, RED, WHITE, GREEN],
    7: [WHITE, GREEN, BLUE, RED],
    8: [GREEN, WHITE, RED, BLUE],
}


@pytest.mark.parametrize("held", HELD)
@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_picture_stands_upright_however_the_camera_was_held(held, kind):
    photo = clean(stored(corners(), kind, exif=exif_with_everything(held)))
    assert (photo.width, photo.height) == ((96, 64) if held < 5 else (64, 96))
    assert_quarters(opened(photo.image), HELD[held])
    assert_quarters(opened(photo.small), HELD[held])


@pytest.mark.parametrize("held", [0, 9, 65535])
def test_an_orientation_that_does_not_exist_turns_nothing(held):
    photo = clean(stored(corners(), exif=exif_with_everything(held)))
    assert_quarters(opened(photo.image), HELD[1])


def test_see_through_parts_become_white():
    picture = Image.new("RGBA", (64, 64), (200, 30, 30, 0))
    assert opened(clean(stored(picture, "PNG")).image).getpixel((32, 32)) == (255, 255, 255)


@pytest.mark.parametrize("mode", ["L", "P", "1", "LA", "RGBA"])
def test_every_mode_of_a_png_is_read(mode):
    assert clean(stored(corners().convert(mode), "PNG")).width == 96


def test_ink_colours_of_a_printer_are_read():
    assert_quarters(opened(clean(stored(corners().convert("CMYK"))).image), HELD[1])


def test_sixteen_bits_a_pixel_keep_their_tone():
    dim = np.full((64, 64), 0x40FF, dtype=np.uint16)
    red, green, blue = opened(clean(stored(Image.fromarray(dim), "PNG")).image).getpixel((32, 32))
    assert red == green == blue
    assert abs(red - 0x40) <= 1


# --- what never comes out ---


def full_of_secrets(kind: str) -> bytes:
    """A photograph that carries all a file can carry beside its picture."""
    how: dict[str, object] = {"exif": exif_with_everything(), "icc_profile": colour_profile()}
    if kind == "PNG":
        told = PngImagePlugin.PngInfo()
        told.add_text("Comment", SECRET.decode())
        told.add_itxt("XML:com.adobe.xmp", f"<x:xmpmeta>{SECRET.decode()}</x:xmpmeta>")
        how["pnginfo"] = told
    else:
        how["xmp"] = b"<x:xmpmeta>" + SECRET + b"</x:xmpmeta>"
    if kind == "JPEG":
        how["comment"] = SECRET
    return stored(corners(), kind, **how) + SECRET


def colour_profile() -> bytes:
    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_nothing_beside_the_picture_comes_out(kind):
    content = full_of_secrets(kind)
    assert SECRET in content
    photo = clean(content)
    for kept in (photo.image, photo.small):
        assert SECRET not in kept
        for mark in (b"Exif", b"http://ns.adobe.com", b"xmpmeta", b"ICC_PROFILE", b"Harbour", b"Photoshop"):
            assert mark not in kept
        picture = opened(kept)
        assert dict(picture.getexif()) == {}
        assert picture.getexif().get_ifd(0x8825) == {}
        assert set(picture.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


def jpeg_markers(content: bytes) -> list[int]:
    """The segments of a JPEG up to its picture (ITU-T T.81, annex B)."""
    found, at = [], 2
    while content[at + 1] != 0xDA:
        found.append(content[at + 1])
        at += 2 + int.from_bytes(content[at + 2 : at + 4], "big")
    return found


def test_a_kept_jpeg_holds_only_the_segments_of_its_picture():
    kept = clean(full_of_secrets("JPEG")).image
    assert set(jpeg_markers(kept)) <= {0xE0, 0xDB, 0xC0, 0xC4}


@pytest.mark.parametrize("behind", [b"PK\x03\x04" + b"\0" * 60, b"<script>alert(1)</script>", b"%PDF-1.7"])
def test_what_hides_behind_a_picture_stays_behind(behind):
    photo = clean(stored(corners()) + behind)
    assert behind not in photo.image
    assert behind not in photo.small


def test_a_phones_second_view_stays_behind():
    out = io.BytesIO()
    corners().save(out, "MPO", save_all=True, append_images=[Image.new("RGB", (96, 64), RED)])
    photo = clean(out.getvalue())
    assert_quarters(opened(photo.image), HELD[1])
    assert b"MPF" not in photo.image


def test_broken_position_data_do_not_spoil_a_good_photograph():
    content = stored(corners(), exif=exif_with_everything(6)).replace(b"MM\x00*", b"MM\xff\xff")
    assert clean(content).width == 96


# --- what is refused, and how ---


def gif() -> bytes:
    return stored(corners(), "GIF")


def moving(kind: str) -> bytes:
    return stored(corners(), kind, save_all=True, append_images=[Image.new("RGB", (96, 64), RED)])


def chunk(name: bytes, content: bytes) -> bytes:
    return struct.pack(">I", len(content)) + name + content + struct.pack(">I", zlib.crc32(name + content))


def png_of(width: int, height: int, *more: bytes, pixels: bytes = b"") -> bytes:
    head = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + head + b"".join(more) + chunk(b"IDAT", zlib.compress(pixels)) + chunk(b"IEND", b"")


def jpeg_of_size(width: int, height: int) -> bytes:
    """A good JPEG whose frame header claims another size."""
    content = bytearray(stored(corners()))
    at = content.index(b"\xff\xc0")
    content[at + 5 : at + 9] = struct.pack(">HH", height, width)
    return bytes(content)


NOT_A_PHOTOGRAPH = {
    "nothing at all": (b"", "The file is empty"),
    "a web page": (b"<!doctype html><script>alert(1)</script>", "This looks like a web page"),
    "a web page after a byte mark": (b"\xef\xbb\xbf\n<html>", "This looks like a web page"),
    "a drawing": (b'<svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)"/>', "This looks like an SVG drawing"),
    "a drawing with a head": (b'<?xml version="1.0"?><svg/>', "This looks like a drawing or a web page in text"),
    "a zip": (b"PK\x03\x04" + b"\0" * 200, "This looks like a zip archive"),
    "a document": (b"%PDF-1.7 and so on", "This looks like a PDF document"),
    "a GIF": (gif(), "This looks like a GIF picture"),
    "a TIFF": (stored(corners(), "TIFF"), "This looks like a TIFF picture"),
    "a BMP": (stored(corners(), "BMP"), "This looks like a BMP picture"),
    "an icon": (stored(corners(), "ICO"), "This file is not a photograph"),
    "PostScript": (b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n", "This file is not a photograph"),
    "a HEIC": (b"\0\0\0\x18ftypheic" + b"\0" * 80, "This looks like a HEIC picture"),
    "a film": (b"\0\0\0\x18ftypmp42" + b"\0" * 80, "This looks like a HEIC picture or a film"),
    "a sound": (b"RIFF\x24\0\0\0WAVEfmt " + b"\0" * 80, "This looks like a sound or a film"),
    "plain words": (b"not a photograph at all", "This file is not a photograph"),
    "zeros": (b"\0" * 4096, "This file is not a photograph"),
    "the start of a JPEG": (b"\xff\xd8\xff", "This photograph is broken"),
    "the start of a PNG": (b"\x89PNG\r\n\x1a\n", "This photograph is broken"),
    "half a JPEG": (stored(corners(400, 400))[:1500], "This photograph is broken or ends too early"),
    "half a PNG": (stored(corners(), "PNG")[:-30], "This photograph is broken or ends too early"),
    "half a WebP": (stored(corners(), "WEBP")[:60], "This photograph is broken or ends too early"),
    "a PNG with a wrong sum": (stored(corners(), "PNG").replace(b"IDAT", b"IDAX"), "This photograph is broken"),
    "a PNG without pixels": (png_of(64, 64), "This photograph is broken"),
    "a PNG of no size": (png_of(0, 64), "This photograph is broken"),
    "a moving PNG": (moving("PNG"), "This picture moves"),
    "a moving WebP": (moving("WEBP"), "This picture moves"),
    "a bomb": (png_of(30_000, 30_000), "This picture has more than 50 million pixels"),
    "a bomb of one row": (png_of(2**31 - 1, 1), "This picture has more than 50 million pixels"),
    "a JPEG that claims to be huge": (jpeg_of_size(65_000, 65_000), "This picture has more than 50 million pixels"),
    "just over the limit": (png_of(10_000, 5_001), "This picture has more than 50 million pixels"),
    "a bomb of words": (
        png_of(64, 64, *[chunk(b"zTXt", b"k\0\0" + zlib.compress(b"a" * 60_000_000))], pixels=b""),
        "This photograph is broken",
    ),
    "one point": (stored(Image.new("RGB", (1, 1)), "PNG"), "This picture has 1 × 1 pixels"),
    "a thread": (stored(Image.new("RGB", (4000, 3)), "PNG"), "This picture has 4000 × 3 pixels"),
}


@pytest.mark.parametrize("name", NOT_A_PHOTOGRAPH)
def test_a_file_that_is_no_photograph_is_refused_with_a_sentence(name):
    content, sentence = NOT_A_PHOTOGRAPH[name]
    assert refusal(content).startswith(sentence)


def test_a_look_alike_is_told_by_its_content_not_by_its_name():
    file = io.BytesIO(gif())
    file.name = "register.jpg"
    with pytest.raises(PhotoRefused, match="GIF picture"):
        clean_photo(file)


def test_too_many_bytes_are_refused_before_they_are_decoded(monkeypatch):
    monkeypatch.setattr(images, "MOST_BYTES", 1000)
    monkeypatch.setattr(images.Image, "open", lambda *a, **k: pytest.fail("it was decoded"))
    assert refusal(b"\xff\xd8" * 501) == "This file has more than 20 megabytes. Send a smaller photograph."


def test_a_bomb_that_pillow_only_warns_of_is_refused(monkeypatch):
    """Pillow warns above its limit and refuses only above twice that; here the warning refuses already."""
    monkeypatch.setattr(images, "_refuse_size", lambda width, height: None)
    monkeypatch.setattr(Image, "MAX_IMAGE_PIXELS", 4000)
    with warnings.catch_warnings():
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        assert refusal(stored(corners(), "PNG")).startswith("This picture has more than 50 million pixels")


def test_the_limit_of_pillow_itself_is_ours():
    assert Image.MAX_IMAGE_PIXELS == images.MOST_PIXELS == 50_000_000


GOOD = {kind: stored(corners(), kind, exif=exif_with_everything(6)) for kind in ("JPEG", "PNG", "WEBP")}


@settings(max_examples=150, deadline=None)
@given(
    kind=st.sampled_from(sorted(GOOD)),
    cuts=st.lists(st.tuples(st.floats(0, 1), st.binary(min_size=1, max_size=6)), max_size=6),
    end=st.floats(0, 1),
)
def test_a_spoilt_photograph_is_kept_clean_or_refused_in_a_sentence(kind, cuts, end):
    content = bytearray(GOOD[kind])
    for where, bytes_there in cuts:
        at = int(where * (len(content) - 1))
        content[at : at + len(bytes_there)] = bytes_there
    content = content[: int(end * len(content))] if end < 0.5 else content
    photo, sentence = kept_or_refused(bytes(content))
    assert sentence.endswith(".") or photo
    if photo:
        assert opened(photo.image).format == "JPEG"
        assert b"Harbour" not in photo.image


def kept_or_refused(content: bytes) -> tuple[images.CleanPhoto | None, str]:
    try:
        return clean(content), ""
    except PhotoRefused as refused:
        return None, refused.messages[0]


@settings(max_examples=100, deadline=None)
@given(st.binary(max_size=400))
def test_bytes_of_any_kind_are_refused_in_a_sentence(content):
    assert refusal(content)
