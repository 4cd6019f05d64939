"""Files that are no capture, or a broken one, as people bring them by mistake or from a failing stick."""

import gzip
import io
import random
import struct
import zipfile
import zlib

ROWS = "".join(f"{n * 1e-8:.6e},{17 if 20 <= n < 60 else 0}\n" for n in range(100))
HEAD = "second,Volt\n"


def _zip(name: str, content: bytes) -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr(name, content)
    return packed.getvalue()


def _png() -> bytes:
    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = chunk(b"IHDR", struct.pack(">IIBBBBB", 1, 1, 8, 0, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + head + chunk(b"IDAT", zlib.compress(b"\0\0")) + chunk(b"IEND", b"")


def _rows(*, at: int, instead: str) -> bytes:
    lines = ROWS.splitlines()
    lines[at] = instead
    return (HEAD + "\n".join(lines) + "\n").encode()


def _noise(seed: int, size: int) -> bytes:
    return bytes(random.Random(seed).randrange(256) for _ in range(size))


NOT_TEXT = {
    "nothing at all": b"",
    "one line end": b"\n",
    "blanks": b" \t \r\n \r\n",
    "zero bytes": b"\x00" * 4096,
    "a byte-order mark alone": b"\xef\xbb\xbf",
    "a wide byte-order mark alone": b"\xff\xfe",
    "a picture, PNG": _png(),
    "a picture, cut short": _png()[:20],
    "a picture, JPEG": b"\xff\xd8\xff\xe0\x00\x10JFIF" + _noise(1, 200),
    "a picture, GIF": b"GIF89a" + _noise(2, 100),
    "a picture, TIFF": b"II*\x00" + _noise(3, 100),
    "a film": b"RIFF\x00\x00\x00\x00AVI " + _noise(4, 100),
    "a document, PDF": b"%PDF-1.7\n" + _noise(5, 300),
    "an old document": b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + _noise(6, 300),
    "a word-processor document": b"{\\rtf1 ansi 0,1 1,2}",
    "a zip of a capture": _zip("trace.csv", (HEAD + ROWS).encode()),
    "an empty zip": b"PK\x05\x06" + b"\x00" * 18,
    "a spreadsheet": _zip("xl/workbook.xml", b"<workbook/>"),
    "a gzip of a capture": gzip.compress((HEAD + ROWS).encode()),
    "a bzip2": b"BZh91AY&SY" + _noise(7, 60),
    "an xz": b"\xfd7zXZ\x00" + _noise(8, 60),
    "a 7z": b"7z\xbc\xaf\x27\x1c" + _noise(9, 60),
    "a database": b"SQLite format 3\x00" + _noise(10, 200),
    "a program": b"\x7fELF\x02\x01\x01" + _noise(11, 200),
    "an oscilloscope's own format": b"#9000001000WAVEDESC" + _noise(12, 300),
    "noise": _noise(13, 2000),
    "noise behind a heading": HEAD.encode() + _noise(14, 2000),
    "a web page": b"<!doctype html><html><body>0,1</body></html>",
    "a web page in capitals": b"<HTML><TABLE><TR><TD>0<TD>1</TABLE></HTML>",
    "mark-up": b'<?xml version="1.0"?><trace><s>0</s></trace>',
    "a drawing": b'<svg xmlns="http://www.w3.org/2000/svg"/>',
}
NOT_A_LIST_OF_SAMPLES = {
    "a sentence": b"The scope would not save today, see the photograph.",
    "a page of words": b"It was cold in the loft.\n" * 200,
    "headings alone": HEAD.encode(),
    "settings alone": b"Record Length,2500\nSample Interval,4e-9\nVertical Units,V\n",
    "a heading and one row": b"second,Volt\n0.0,1.0\n",
    "a JSON file": b'{"x": [0, 1], "y": [0, 17]}',
    "a programme": b"for x in range(10):\n    print(x)\n",
    "a wire list": b"from_slot,from_terminal,to_slot,to_terminal\nB-05,7,C-04,2\nB-05,8,C-04,3\n",
    "dates for times": b"day,Volt\n2026-11-25,1\n2026-11-26,2\n2026-11-27,3\n",
    "words for volts": HEAD.encode() + b"".join(b"%d,high\n" % n for n in range(50)),
    "times alone": b"second\n" + b"".join(b"%.3e\n" % (n * 1e-8) for n in range(50)),
}
BROKEN = {
    "not a number": _rows(at=50, instead="5.0e-7,NaN"),
    "infinity": _rows(at=50, instead="5.0e-7,inf"),
    "minus infinity": _rows(at=50, instead="5.0e-7,-Infinity"),
    "an over-range mark": _rows(at=50, instead="5.0e-7,9.9E+37"),
    "beyond any double": _rows(at=50, instead="5.0e-7,1e999"),
    "a word in the middle": _rows(at=50, instead="5.0e-7,overflow"),
    "an empty volt": _rows(at=50, instead="5.0e-7,"),
    "an empty time": _rows(at=50, instead=",17"),
    "one column too few": _rows(at=50, instead="5.0e-7"),
    "one column too many": _rows(at=50, instead="5.0e-7,17,3"),
    "a time that is no number": _rows(at=50, instead="NaN,17"),
    "a time that runs backwards": _rows(at=50, instead="1.0e-9,17"),
    "a time given twice": _rows(at=50, instead=ROWS.splitlines()[49]),
    "a time left out": (HEAD + "\n".join([*ROWS.splitlines()[:50], *ROWS.splitlines()[70:]])).encode(),
    "all times the same": HEAD.encode() + b"1e-8,1\n" * 60,
    "times from last to first": (HEAD + "\n".join(reversed(ROWS.splitlines()))).encode(),
    "uneven times": HEAD.encode() + b"".join(b"%.4e,%d\n" % (n * n * 1e-9, n % 2) for n in range(60)),
    "hexadecimal": HEAD.encode() + b"".join(b"%d,0x%x\n" % (n, n) for n in range(60)),
    "rows of nothing but commas": HEAD.encode() + b",\n" * 60,
    "cut in the middle of a number": (HEAD + ROWS).encode()[:900] + b"e,",
    "a formula": _rows(at=50, instead='5.0e-7,"=1+1"'),
}
MALFORMED = NOT_TEXT | NOT_A_LIST_OF_SAMPLES | BROKEN
