"""Checks that no line of the log book was changed, taken out, moved or slipped in."""

import json
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from restoration.common.commands import needs_tables
from restoration.logbook.models import Entry
from restoration.logbook.services import check_whole_book


class Command(BaseCommand):
    help = "Checks the log book line by line. Exit status: 0 all lines agree, 1 one does not, 2 refused."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--json", action="store_true", help="print JSON for a program")

    @needs_tables
    def handle(self, *args: Any, **options: Any) -> None:
        book = check_whole_book()
        wrong = book.disagreement
        if options["json"]:
            answer = {
                "agrees": wrong is None,
                "lines": book.lines,
                "head": book.head,
                "first_disagreement": {"number": wrong.number, "reason": wrong.reason} if wrong else None,
            }
            self.stdout.write(json.dumps(answer, ensure_ascii=False))
        elif wrong:
            self.stdout.write(f"The log book does not agree: {wrong.reason}.")
            self._show(wrong.number)
        else:
            self.stdout.write(f"All {book.lines} lines of the log book agree. Head: {book.head or 'none yet'}.")
        raise SystemExit(1 if wrong else 0)

    def _show(self, number: int) -> None:
        entry = Entry.objects.filter(number=number).first()
        if entry:
            self.stdout.write(f"Line {number} now reads: {entry.sentence}")
