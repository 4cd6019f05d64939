"""From the bytes of a file to text, or to a sentence that says what the file is instead."""

from __future__ import annotations

import codecs

from restoration.engineering.captures.record import CaptureRefused

_BEGINNINGS = (
    (b"PK\x03\x04", "a zip archive or a spreadsheet"),
    (b"PK\x05\x06", "an empty zip archive"),
    (b"\x1f\x8b", "a gzip archive"),
    (b"7z\xbc\xaf", "a 7z archive"),
    (b"BZh", "a bzip2 archive"),
    (b"\xfd7zXZ", "an xz archive"),
    (b"%PDF", "a PDF document"),
    (b"\x89PNG", "a PNG picture"),
    (b"\xff\xd8\xff", "a JPEG picture"),
    (b"GIF8", "a GIF picture"),
    (b"II*\x00", "a TIFF picture"),
    (b"MM\x00*", "a TIFF picture"),
    (b"RIFF", "a sound, film or picture file"),
    (b"SQLite format 3", "a database"),
    (b"\xd0\xcf\x11\xe0", "an old office document"),
    (b"\x7fELF", "a program"),
    (b"{\\rtf", "a word-processor document"),
)
_MARKUP = (b"<!doctype", b"<html", b"<?xml", b"<svg", b"<table")
_ADVICE = "Save the trace on the oscilloscope as CSV or plain text and bring that file."


def decode(data: bytes) -> str:
    """Text of a capture, with line ends made ``\\n`` and a byte-order mark taken off.

    Tried in order: the byte-order mark, UTF-16 told by its zero bytes, UTF-8, then Windows-1252 with any byte that
    has no meaning there taken as Latin-1. Raises CaptureRefused for an empty file, and for archives, pictures, web
    pages and other files that are not text.

    >>> decode(b"\\xef\\xbb\\xbf0,1\\r\\n1,2\\r\\n")
    '0,1\\n1,2\\n'
    """
    if not data.strip(b" \t\r\n\x00\xef\xbb\xbf"):
        raise CaptureRefused("The file is empty: there is not one sample in it.")
    _refuse_other_kinds(data)
    text = _by_mark(data) or _plain(data)
    text = text.replace("\r\n", "\n").replace("\r", "\n").replace("\u2212", "-").lstrip("\ufeff")
    if "\x00" in text[:65536] or _control_share(text[:65536]) > 0.01:
        raise CaptureRefused(f"The file holds binary data, not columns of numbers. {_ADVICE}")
    return text


def _refuse_other_kinds(data: bytes) -> None:
    for beginning, kind in _BEGINNINGS:
        if data.startswith(beginning):
            raise CaptureRefused(f"The file is {kind}, not a list of samples. {_ADVICE}")
    if data[:512].lstrip(b"\xef\xbb\xbf \t\r\n").lower().startswith(_MARKUP):
        raise CaptureRefused(f"The file is a web page or a mark-up document, not a list of samples. {_ADVICE}")
    if b"WAVEDESC" in data[:64]:
        raise CaptureRefused(f"The file is an oscilloscope's own binary format. {_ADVICE}")


def _by_mark(data: bytes) -> str | None:
    marks = (
        (codecs.BOM_UTF8, "utf-8-sig"),
        (codecs.BOM_UTF32_LE, "utf-32"),
        (codecs.BOM_UTF32_BE, "utf-32"),
        (codecs.BOM_UTF16_LE, "utf-16"),
        (codecs.BOM_UTF16_BE, "utf-16"),
    )
    for mark, encoding in marks:
        if data.startswith(mark):
            return data.decode(encoding, errors="replace")
    head = data[:4096]
    if len(head) > 8:
        if head[1::2].count(0) > 0.4 * len(head[1::2]) and not head[0::2].count(0):
            return data.decode("utf-16-le", errors="replace")
        if head[0::2].count(0) > 0.4 * len(head[0::2]) and not head[1::2].count(0):
            return data.decode("utf-16-be", errors="replace")
    return None


def _plain(data: bytes) -> str:
    for encoding in ("utf-8", "cp1252"):
        try:
            return data.decode(encoding)
        except UnicodeDecodeError:
            continue
    return data.decode("latin-1")


def _control_share(text: str) -> float:
    odd = sum(1 for mark in text if mark < " " and mark not in "\n\t\x0b\x0c\x1a")
    return odd / max(1, len(text))
