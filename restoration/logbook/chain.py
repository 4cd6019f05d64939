"""How a line of the log book is bound to the line before it."""

import hashlib
import json
from datetime import UTC, datetime
from typing import Any

START = "0" * 64


def stamp(moment: datetime) -> str:
    """Write a moment the same way on every database: UTC, to the microsecond.

    >>> stamp(datetime(2026, 3, 1, 9, 30, tzinfo=UTC))
    '2026-03-01T09:30:00.000000+00:00'
    """
    return moment.astimezone(UTC).isoformat(timespec="microseconds")


def as_kept(value: Any) -> Any:
    """Write figures as every database gives them back: no minus nought, no large whole number as a fraction.

    >>> as_kept({"least": -0.0, "most": [1e17, 2.5]})
    {'least': 0.0, 'most': [100000000000000000, 2.5]}
    """
    if isinstance(value, dict):
        return {name: as_kept(each) for name, each in value.items()}
    if isinstance(value, list | tuple):
        return [as_kept(each) for each in value]
    if isinstance(value, float):
        return int(value) if abs(value) >= 1e16 else value + 0.0
    return value


def line_hash(previous_hash: str, line: dict[str, Any]) -> str:
    """Bind a line to the one before: SHA-256 over the former hash and the line as sorted JSON (RFC 8259).

    >>> line_hash(START, {"number": 1})[:12]
    'fdf3caeae8da'
    """
    text = json.dumps(line, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(f"{previous_hash}\n{text}".encode()).hexdigest()
