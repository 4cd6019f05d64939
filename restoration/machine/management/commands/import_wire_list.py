"""Bring in a wire list from a file."""

import json
import sys
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand
from django.db import DatabaseError

from restoration.common.commands import REFUSED, no_use
from restoration.engineering.wire_list.bounds import BOUNDS
from restoration.engineering.wire_list.changes import change_sentences
from restoration.engineering.wire_list.outcome import refused_plan
from restoration.engineering.wire_list.refusals import WireListRefused, refuse_file
from restoration.machine.services import ImportOutcome, import_wire_list

TAKEN = 0


class Command(BaseCommand):
    """Reads .csv, .xlsx or .ods; with anything refused, nothing is saved and the exit status is 2."""

    help = __doc__

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", help="the wire list: .csv, .xlsx or .ods")
        parser.add_argument("--dry-run", action="store_true", help="only say what would change")
        parser.add_argument("--create-missing", action="store_true", help="add unknown racks, slots and terminals")
        parser.add_argument("--both-ends", action="store_true", help="the list names every wire once from each end")
        parser.add_argument("--json", action="store_true", help="print for a program")

    def handle(self, *args: Any, **options: Any) -> None:
        outcome = _outcome(options)
        if options["json"]:
            self.stdout.write(json.dumps(_as_json(outcome), ensure_ascii=False))
        if outcome.is_refused:
            self.stderr.write("\n".join(outcome.plan.sentences()))
            sys.exit(REFUSED)
        if not options["json"]:
            self.stdout.write("\n".join(_sentences(outcome)))
        sys.exit(TAKEN)


def _outcome(options: dict[str, Any]) -> ImportOutcome:
    try:
        return import_wire_list(
            data=_bytes_of(options["file"]),
            name=Path(options["file"]).name,
            by=None,
            create_missing=options["create_missing"],
            both_ends=options["both_ends"],
            dry_run=options["dry_run"],
        )
    except WireListRefused as refused:
        return ImportOutcome(refused_plan(refused))
    except DatabaseError as error:
        return ImportOutcome(refused_plan(refuse_file(no_use(error))))


def _bytes_of(file: str) -> bytes:
    """Read the file, or refuse it in a sentence."""
    path = Path(file)
    try:
        if path.stat().st_size > BOUNDS.bytes:
            raise refuse_file(
                f"The file “{file}” has {path.stat().st_size:,} bytes; a wire list may have at most {BOUNDS.bytes:,}."
            )
        return path.read_bytes()
    except (OSError, ValueError) as error:
        if isinstance(error, WireListRefused):
            raise
        reason = getattr(error, "strerror", None) or str(error)
        raise refuse_file(f"The file “{file}” cannot be read: {reason}.") from error


def _as_json(outcome: ImportOutcome) -> dict[str, Any]:
    raised = [question._asdict() for question in outcome.questions]
    return {**outcome.plan.as_json(), "queries": raised, "saved": outcome.is_saved}


def _sentences(outcome: ImportOutcome) -> list[str]:
    told = [*outcome.plan.sentences(), *change_sentences(outcome.plan.to_change)]
    told += [f"Query: {question.text}" for question in outcome.questions]
    if outcome.changes_nothing:
        return [*told, "The records say all of this already."]
    return [*told, "It is in." if outcome.is_saved else "Nothing was saved: this was a trial."]
