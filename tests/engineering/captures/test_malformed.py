"""Files that are no captures: each gets one whole sentence, never another error, and soon."""

import gzip
import io
import time
import zipfile

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from restoration.engineering.captures import CaptureRefused, read_capture
from tests.engineering.captures.shapes import SHAPES, start_and_increment, units_in_names, x_and_units

LONGEST_S = 5.0
"""Refusing takes no longer than reading; this allows for a busy machine."""


def refusal_of(data, **limits):
    began = time.monotonic()
    with pytest.raises(CaptureRefused) as refusal:
        read_capture(data, **limits)
    assert time.monotonic() - began < LONGEST_S
    sentence = str(refusal.value)
    assert sentence[0].isupper()
    assert sentence.endswith((".", "?"))
    assert len(sentence) < 400
    return sentence


def _zip():
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as archive:
        archive.writestr("strobe.csv", "0,1\n1,2\n")
    return held.getvalue()


ROWS = "".join(f"{place * 1e-6:.6e},{place % 7}.5\n" for place in range(50))
HEAD = "Time (s),CH1 (V)\n"

KINDS = [
    (b"", "The file is empty"),
    (b" \r\n\t\n", "The file is empty"),
    (b"\xef\xbb\xbf", "The file is empty"),
    (b"\x00" * 500, "The file is empty"),
    (_zip(), "a zip archive or a spreadsheet"),
    (gzip.compress(ROWS.encode()), "a gzip archive"),
    (b"PK\x05\x06" + b"\0" * 18, "an empty zip archive"),
    (b"7z\xbc\xaf\x27\x1c" + b"\1" * 50, "a 7z archive"),
    (b"BZh91AY&SY" + b"\x90" * 40, "a bzip2 archive"),
    (b"\xfd7zXZ\x00" + b"\4" * 40, "an xz archive"),
    (b"%PDF-1.7\n%\xe2\xe3\n1 0 obj", "a PDF document"),
    (b"\x89PNG\r\n\x1a\n" + bytes(range(200)), "a PNG picture"),
    (b"\xff\xd8\xff\xe0\x00\x10JFIF" + bytes(range(200)), "a JPEG picture"),
    (b"GIF89a" + bytes(range(100)), "a GIF picture"),
    (b"II*\x00" + bytes(range(100)), "a TIFF picture"),
    (b"MM\x00*" + bytes(range(100)), "a TIFF picture"),
    (b"RIFF\x24\x08\x00\x00WAVEfmt ", "a sound, film or picture file"),
    (b"SQLite format 3\x00" + b"\1" * 50, "a database"),
    (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\1" * 50, "an old office document"),
    (b"\x7fELF\x02\x01\x01" + b"\1" * 50, "a program"),
    (b"{\\rtf1\\ansi 0,1}", "a word-processor document"),
    (b"<!DOCTYPE html><html><body>404</body></html>", "a web page"),
    (b"  <html>\n<td>1</td><td>2</td></html>", "a web page"),
    (b"<?xml version='1.0'?><a>1,2</a>", "a web page or a mark-up document"),
    (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "a web page or a mark-up document"),
    (b"<TABLE><tr><td>1", "a web page or a mark-up document"),
    (b"#9000000350WAVEDESC\x00\x00\x01" + b"\x00\x02" * 100, "own binary format"),
    (bytes(range(256)) * 20, "binary data"),
    (b"\xa5\xa5\x00\x38\x01\x02\x03\x04" * 300, "binary data"),
    (b"0,1\n" + b"\x01\x02\x03\x04\x05\x06\x07\x08" * 40 + b"\n1,2\n", "binary data"),
]

CONTENTS = [
    ("hello", "does not end in rows of numbers"),
    ("one,two,three\nfour,five,six\n", "does not end in rows of numbers"),
    (",,,\n,,\n;;;\n", "nothing but separators"),
    ("Time (s),CH1 (V)\n", "does not end in rows of numbers"),
    ("Record Length,2500\nSample Interval,4e-9\n", "to the left of their numbers"),
    ("{'samples': [1, 2, 3]}", "to the left of their numbers"),
    (HEAD + ROWS + "end of file\n", "Line 52: 'end of file' has one field where the other rows have 2."),
    (HEAD + ROWS.replace("\n", "\nspoiled\n", 1), "'spoiled'"),
    ("Time (s)\n0.1\n0.2\n0.3\n", "a column of times and no column of voltages"),
    ("s,s\n0.1,0.1\n0.2,0.2\n0.3,0.3\n", "a column of times and no column of voltages"),
    ("Sequence\n0\n1\n2\n", "a column of times and no column of voltages"),
    (HEAD + "0.0,1.5\n", "one sample"),
    ("Time (s),CH1 (V)\n0.5,1.0\n0.5,1.1\n0.5,1.2\n", "The times do not advance"),
    ("Time (s),CH1 (V)\n0.5,1.0\n0.4,1.1\n0.3,1.2\n", "The times do not advance"),
    ("Time (s),CH1 (V)\n0.0,1\n0.1,1\n0.2,1\n0.5,1\n0.6,1\n", "Line 5: time goes from 0.2 s to 0.5 s"),
    ("Time (s),CH1 (V)\n0.0,1\n0.1,1\n0.3,1\n0.2,1\n0.4,1\n0.5,1\n", "evenly sampled"),
    ("Time (s),CH1 (V)\n0.00,1\n0.10,1\n0.25,1\n0.30,1\n0.40,1\n", "evenly sampled"),
    ("Time (s),CH1 (V)\n1,1\n2,2\n4,3\n8,4\n16,5\n", "evenly sampled"),
    ("X,CH1,Start,Increment\nSequence,Volt,0.0,1e-9\n0,1.0\n1,1.0\n5,1.0\n", "from 1 to 5"),
    ("X,CH1,Start,Increment\nSequence,Volt,0.0,1e-9\n0,1.0\n0,1.0\n0,1.0\n", "from 0 to 0"),
    ("X,CH1,Start,Increment\nSequence,Volt,0.0,1e-9\n9,1.0\n8,1.0\n7,1.0\n", "from 9 to 8"),
    ("Sequence,Volt\n0,1.0\n2,1.0\n4,1.0\n", "from 0 to 2"),
    (HEAD + "0.0,1e300\n0.1,1.0\n0.2,1.0\n", "over range"),
    (HEAD + "0.0,5e9\n0.1,1.0\n0.2,1.0\n", "beyond ±1e+09"),
    (HEAD + "1e12,1.0\n2e12,1.0\n3e12,1.0\n", "beyond ±1e+09"),
    (HEAD + "0.0,1.0,7\n0.1,1.0\n0.2,1.0\n0.3,1.0\n0.4,1.0\n", "3 fields where the other rows have 2"),
    (HEAD + ROWS + "5.1e-05\n", "Line 52: '5.1e-05' has one field where the other rows have 2."),
    (HEAD + ROWS + "5.1e-05,\n", "a number is missing"),
    (HEAD + ROWS.replace("e", "x"), "to the left of their numbers"),
    ("a,b\n0,1\n\n\n2,3,4\nnot,numbers\n", "or in none"),
    (",".join("1" * 90) + "\n" + ",".join("2" * 90) + "\n", "90 columns of numbers"),
    ("words\n" * 2500 + "1,2\n2,3\n", "No row of numbers begins within the first"),
    ("Time;CH1\n0,1;2,5\n0,2;2,6\n0,9;2,6\n1,0;2,7\n", "evenly sampled"),
    ("time(us),V\n0,1,5\n0,2,5\n0,3,1,2\n", "more than one way"),
    ("0,1,5\n1,2\n2,3,5\n3,4,1\n", "more than one way"),
    ("\u0660,\u0661\n\u0662,\u0663\n", "does not end in rows of numbers"),
    ("1_000,2_000\n2_000,3_000\n", "does not end in rows of numbers"),
    ("0x10,0x20\n0x11,0x21\n", "does not end in rows of numbers"),
    ("1,000.5;2\n1,001.5;3\n", "'1,001.5' to the left of their numbers"),
    ("1e99999,1\n2e99999,1\n", "'2e99999' to the left of their numbers"),
    ("-,-\n-,-\n", "does not end in rows of numbers"),
    ("12:30:01,1.0\n12:30:02,1.0\nnoon,1.0\n", "a time has to be a count of seconds"),
]  # fmt: skip

SPOILT = [
    "NaN", "nan", "-nan", "inf", "-Infinity", "INF", "1.#QNAN", "#N/A", "--", "----", "9.9E37", "-9.91e37", "1e39",
    "3e9", "abc", "1.2.3", "1e", "e5", "+-1", "0x1F", "1_0", "12V", "5 V", "?", "1/2", "5%",
]  # fmt: skip
PLACES = (0, 24, 49)


@pytest.mark.parametrize(("data", "words"), KINDS, ids=lambda value: value[:24] if isinstance(value, str) else "")
def test_other_kinds_of_file(data, words):
    assert words in refusal_of(data)


@pytest.mark.parametrize(("text", "words"), CONTENTS, ids=lambda value: value[:24].replace("\n", " "))
def test_contents_that_are_no_trace(text, words):
    assert words in refusal_of(text.encode())


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("spoilt", SPOILT)
def test_one_spoilt_sample_is_refused(spoilt, place):
    rows = ROWS.split("\n")
    rows[place] = rows[place].split(",")[0] + "," + spoilt

    sentence = refusal_of((HEAD + "\n".join(rows)).encode())

    told = f"Line {place + 2}:"
    assert sentence.startswith(told) or "does not end in rows of numbers" in sentence or "No row" in sentence


@pytest.mark.parametrize("place", [0, 10, 24, 48])
def test_one_missing_row_is_refused(place):
    rows = ROWS.split("\n")[:-1]
    del rows[place + 1 if place < 48 else 47]
    assert "evenly sampled" in refusal_of((HEAD + "\n".join(rows)).encode())


@pytest.mark.parametrize("interval", [0.0, -1e-9, float("nan"), float("inf")])
def test_given_interval_has_to_be_above_zero(interval):
    assert refusal_of(b"1\n2\n3\n", interval_s=interval).startswith("The sample interval given is")


def test_too_many_segments():
    text = "Time,Ampl\n" + "#1\n0.0,1\n0.1,2\n0.2,3\n" * 1200
    assert refusal_of(text.encode()) == "The file holds 1200 segments; at most 1000 are read."


def test_binary_advice_names_the_way_out():
    assert refusal_of(_zip()).endswith("Save the trace on the oscilloscope as CSV or plain text and bring that file.")


def _reads_or_refuses(data):
    sentence = "Read."
    try:
        assert read_capture(data, most_samples=100_000).channels
    except CaptureRefused as refusal:
        sentence = str(refusal)
    assert sentence[0].isupper()
    assert sentence.endswith((".", "?"))


@settings(max_examples=150, deadline=5000)
@given(st.binary(max_size=600))
def test_any_bytes_are_read_or_refused(data):
    _reads_or_refuses(data)


@settings(max_examples=150, deadline=5000)
@given(st.text(alphabet="0123456789.,;-+eE \t\n\"'#:=nNaAiIfFsVmuX()[]", max_size=400))
def test_any_number_like_text_is_read_or_refused(text):
    _reads_or_refuses(text.encode())


@settings(max_examples=150, deadline=5000, suppress_health_check=[HealthCheck.too_slow])
@given(st.sampled_from(SHAPES), st.data())
def test_any_damaged_shape_is_read_or_refused(shape, data):
    whole = bytearray(shape()[0])
    for _ in range(data.draw(st.integers(1, 8))):
        place = data.draw(st.integers(0, len(whole) - 1))
        change = data.draw(st.sampled_from(["cut", "byte", "line", "drop"]))
        if change == "cut":
            whole = whole[: max(1, place)]
        elif change == "byte":
            whole[place] = data.draw(st.integers(0, 255))
        elif change == "line":
            whole[place:place] = b"\n"
        else:
            del whole[place : place + data.draw(st.integers(1, 40))]
        if not whole:
            break
    _reads_or_refuses(bytes(whole))


@settings(max_examples=100, deadline=5000)
@given(
    st.sampled_from([start_and_increment, units_in_names, x_and_units]),
    st.integers(3, 100),
    st.text(alphabet="ghjklopqrtuwyz!?*&", min_size=1, max_size=8),
)
def test_a_word_among_the_numbers_is_always_refused(shape, line, word):
    lines = shape()[0].decode().split("\n")
    fields = lines[line].split(",")
    fields[1] = word
    lines[line] = ",".join(fields)

    sentence = refusal_of("\n".join(lines).encode())

    assert sentence == f"Line {line + 1}: '{word}' is not a number."


def test_there_are_enough_cases():
    assert len(KINDS) + len(CONTENTS) + len(SPOILT) * len(PLACES) >= 140
