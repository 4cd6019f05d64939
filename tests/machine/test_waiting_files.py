"""A file waits a day, unread by others, and comes back as the very bytes that were sent."""

import os
from pathlib import Path
from typing import Any

import pytest
from django.core import signing

from restoration.machine.waiting_files import SALT, WAITS_S, NotWaitingError, find, forget, keep, sweep

SENT = {"name": "loft.csv", "create_missing": True, "both_ends": False, "sent_by": 7}


@pytest.fixture
def folder(settings: Any) -> Path:
    return Path(settings.MEDIA_ROOT) / "wire_lists"


def test_what_was_sent_comes_back(folder: Path) -> None:
    word = keep(b"bytes \x00 and all", **SENT)
    waiting, data = find(word)
    assert data == b"bytes \x00 and all"
    assert (waiting.name, waiting.create_missing, waiting.both_ends, waiting.sent_by) == ("loft.csv", True, False, 7)
    forget(waiting)
    with pytest.raises(NotWaitingError):
        find(word)


def test_a_changed_file_is_not_found(folder: Path) -> None:
    word = keep(b"first", **SENT)
    next(folder.iterdir()).write_bytes(b"other")
    with pytest.raises(NotWaitingError):
        find(word)


def test_a_word_that_was_not_signed_here_finds_nothing(folder: Path) -> None:
    word = keep(b"first", **SENT)
    made_up = signing.dumps({"place": "../../secret_key"}, salt=SALT)
    elsewhere = signing.dumps({**signing.loads(word, salt=SALT), "place": "../secret_key"}, salt=SALT)
    for each in ("", "made up", word[:-1], made_up, elsewhere):
        with pytest.raises(NotWaitingError):
            find(each)


def test_after_a_day_it_is_gone(folder: Path) -> None:
    keep(b"old", **SENT)
    keep(b"new", **SENT)
    (folder / "README").write_text("not one of ours")
    old = next(path for path in folder.iterdir() if path.read_bytes() == b"old")
    os.utime(old, (1, 1))
    sweep(now=WAITS_S + 2)
    assert sorted(path.read_bytes() for path in folder.iterdir()) == [b"new", b"not one of ours"]
