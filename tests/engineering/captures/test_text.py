"""From bytes to text."""

import pytest

from restoration.engineering.captures.text import decode

TEXT = "Zeit (µs);Kanal (V)\n1;2\n"


@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32", "cp1252", "latin-1"]
)
def test_encodings(encoding):
    assert decode(TEXT.encode(encoding)) == TEXT


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_line_ends(end):
    assert decode(TEXT.replace("\n", end).encode()) == TEXT


def test_true_minus_sign_is_a_minus():
    assert decode("−1,−2\n".encode()) == "-1,-2\n"


def test_bytes_without_meaning_are_kept_as_letters():
    assert decode(b"BENCH\x81\xff,1\n0,1\n").startswith("BENCH")
