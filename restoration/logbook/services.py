"""Writing a line in the log book, and checking that no line was changed since."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import connection, transaction
from django.utils import timezone

from restoration.logbook.chain import START, as_kept, line_hash, stamp
from restoration.logbook.models import Entry
from restoration.people.models import Person

ADVISORY_LOCK = 0x6C6F6762  # one number for the whole site: lines are written one after another
AT_THE_COMMAND_LINE = "the command line"


def write_line(
    *,
    act: str,
    sentence: str,
    by: Person | None,
    subject_kind: str = "",
    subject_code: str = "",
    told_by: Person | None = None,
    happened_at: datetime | None = None,
    details: dict[str, Any] | None = None,
    now: datetime | None = None,
) -> Entry:
    """Write one act down; must stand in the transaction of the act itself."""
    if not connection.in_atomic_block:
        raise RuntimeError("A line of the log book is written inside the transaction of its act, and there is none.")
    wait_for_the_pen()
    now = now or timezone.now()
    last = Entry.objects.order_by("-number").first()
    entry = Entry(
        number=last.number + 1 if last else 1,
        written_at=now,
        happened_at=happened_at or now,
        by=by,
        by_name=str(by) if by else AT_THE_COMMAND_LINE,
        told_by=str(told_by) if told_by and told_by != by else "",
        act=act,
        subject_kind=subject_kind,
        subject_code=subject_code,
        sentence=sentence,
        details=as_kept(details or {}),
        previous_hash=last.hash if last else START,
    )
    entry.hash = line_hash(entry.previous_hash, content(entry))
    entry.save(force_insert=True)
    return entry


def wait_for_the_pen() -> None:
    """Hold back other writers until this transaction ends; SQLite's immediate transactions do so already."""
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_advisory_xact_lock(%s)", [ADVISORY_LOCK])


def content(entry: Entry) -> dict[str, Any]:
    """List all that a line says, as it goes into its hash."""
    return {
        "number": entry.number,
        "written_at": stamp(entry.written_at),
        "happened_at": stamp(entry.happened_at),
        "by": entry.by_id,
        "by_name": entry.by_name,
        "told_by": entry.told_by,
        "act": entry.act,
        "subject_kind": entry.subject_kind,
        "subject_code": entry.subject_code,
        "sentence": entry.sentence,
        "details": entry.details,
    }


@dataclass(frozen=True)
class Disagreement:
    """The first line that is not what it was, and how that shows."""

    number: int
    reason: str


def first_disagreement(entries: Iterator[Entry]) -> Disagreement | None:
    """Walk the lines in order and stop at the first that does not agree with the one before it."""
    previous, expected = START, 1
    for entry in entries:
        if entry.number != expected:
            return Disagreement(expected, f"line {expected} is missing: after it comes line {entry.number}")
        if entry.previous_hash != previous:
            return Disagreement(entry.number, f"line {entry.number} does not follow the line before it")
        if entry.hash != line_hash(previous, content(entry)):
            return Disagreement(entry.number, f"line {entry.number} does not say what was written")
        previous, expected = entry.hash, expected + 1
    return None


@dataclass(frozen=True)
class CheckedBook:
    """The whole log book as one look found it."""

    lines: int
    head: str
    disagreement: Disagreement | None


def check_whole_book() -> CheckedBook:
    """Check every line, in one consistent view of the book."""
    with transaction.atomic():
        _see_one_moment()
        newest = head()
        wrong = first_disagreement(Entry.objects.order_by("number").iterator(chunk_size=2000))
        return CheckedBook(Entry.objects.count(), newest.hash if newest else "", wrong)


def _see_one_moment() -> None:
    """Let PostgreSQL show the book as it is now throughout; SQLite does so in any transaction."""
    if connection.vendor == "postgresql" and len(connection.savepoint_ids) == 0:
        with connection.cursor() as cursor:
            cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")


def head() -> Entry | None:
    """Give the newest line, whose hash stands for all before it."""
    return Entry.objects.order_by("-number").first()
