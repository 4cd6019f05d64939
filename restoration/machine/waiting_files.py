"""Wire lists that were sent and wait for a yes: the very bytes on disk, named by a signed word in the address."""

import hashlib
import re
import secrets
import time
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core import signing

SALT = "wire list waiting"
WAITS_S = 24 * 3600
NAME = re.compile(r"[0-9a-f]{32}")


@dataclass(frozen=True)
class WaitingFile:
    """A file on disk, what it was called, how it is to be read, and who sent it."""

    place: str
    sha256: str
    name: str
    create_missing: bool
    both_ends: bool
    sent_by: int


class NotWaitingError(Exception):
    """The file is gone, was changed, or the address was not made here."""


def keep(data: bytes, *, name: str, create_missing: bool, both_ends: bool, sent_by: int) -> str:
    """Put the bytes where only this site reads them, and return the signed word that finds them again."""
    sweep()
    place = secrets.token_hex(16)
    path = _folder() / place
    path.touch(mode=0o600, exist_ok=False)
    path.write_bytes(data)
    waiting = WaitingFile(place, hashlib.sha256(data).hexdigest(), name, create_missing, both_ends, sent_by)
    return signing.dumps(asdict(waiting), salt=SALT, compress=True)


def find(word: str) -> tuple[WaitingFile, bytes]:
    """Read back exactly what was sent, or say that it no longer waits."""
    try:
        said: dict[str, Any] = signing.loads(word, salt=SALT, max_age=WAITS_S)
        waiting = WaitingFile(**said)
        data = _path(waiting).read_bytes()
    except (signing.BadSignature, TypeError, OSError, ValueError) as missing:
        raise NotWaitingError from missing
    if hashlib.sha256(data).hexdigest() != waiting.sha256:
        raise NotWaitingError
    return waiting, data


def forget(waiting: WaitingFile) -> None:
    """Take away a file that was brought in."""
    _path(waiting).unlink(missing_ok=True)


def sweep(*, now: float | None = None) -> None:
    """Take away what has waited for more than a day."""
    oldest = (now or time.time()) - WAITS_S
    for path in _folder().iterdir():
        if NAME.fullmatch(path.name) and path.stat().st_mtime < oldest:
            path.unlink(missing_ok=True)


def _path(waiting: WaitingFile) -> Path:
    if not NAME.fullmatch(waiting.place):
        raise ValueError("A waiting file is named by 32 hexadecimal digits.")
    return _folder() / waiting.place


def _folder() -> Path:
    folder = Path(settings.MEDIA_ROOT) / "wire_lists"
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    return folder
