"""Says what to test again: the least set of checks that answers what is in doubt, in walking order."""

import json
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from restoration.commissioning.testing_again.asking import Question, walk_for
from restoration.commissioning.testing_again.question_form import QuestionForm
from restoration.commissioning.testing_again.sheets import SheetRow, SheetStop, stops_of
from restoration.common.commands import needs_tables, refuse
from restoration.engineering.recheck import DoubtfulGate, Walk, in_one_sentence, racks_walked

ASKED = ("since", "change", "slot", "link", "rack")


class Command(BaseCommand):
    help = (
        "Says what to test again, safety first and then in walking order. "
        "Exit status: 0 there is something to test again, 1 there is nothing, 2 refused."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--since", metavar="DATE", help="only what was put in doubt on this day or later")
        parser.add_argument("--change", metavar="N", help="only what this change put in doubt")
        parser.add_argument("--slot", metavar="S", help="only what is in doubt at this slot")
        parser.add_argument("--link", metavar="L", help="only what is in doubt of this link")
        parser.add_argument("--rack", metavar="R", help="only what is in doubt at this rack")
        parser.add_argument("--json", action="store_true", help="print JSON for a program")

    @needs_tables
    def handle(self, *args: Any, **options: Any) -> None:
        form = QuestionForm({name: options[name] for name in ASKED if options[name] is not None})
        if not form.is_valid():
            sentences = [f"--{name}: {text}" for name, errors in form.errors.items() for text in errors]
            refuse(self, sentences, as_program=options["json"])
        walk = walk_for(form.question)
        stops = stops_of(walk)
        if options["json"]:
            self.stdout.write(json.dumps(_as_json(form.question, walk, stops), ensure_ascii=False))
        else:
            self._tell(walk, stops)
        raise SystemExit(0 if walk.checks else 1)

    def _tell(self, walk: Walk, stops: tuple[SheetStop, ...]) -> None:
        self.stdout.write(in_one_sentence(walk))
        for stop in stops:
            self.stdout.write(f"\n{stop.title}")
            for each in stop.rows:
                self._tell_row(each)
        if walk.apart:
            self.stdout.write("\nSet apart, with why")
        for check in walk.apart:
            self.stdout.write(f"  {check.kind} {check.code}, {check.gate}: {check.apart}")

    def _tell_row(self, each: SheetRow) -> None:
        row = each.row
        self.stdout.write(f"  {row.number}. {row.title}: {row.act} again.")
        if row.limits:
            self.stdout.write(f"     limits: {'; '.join(row.limits)}")
        if row.last_good:
            self.stdout.write(f"     last good: {row.last_good}")
        for reason in row.check.reasons:
            self.stdout.write(f"     because: {reason}")


def _as_json(question: Question, walk: Walk, stops: tuple[SheetStop, ...]) -> dict[str, Any]:
    return {
        "asked": question.in_words(),
        "count": len(walk.checks),
        "racks": list(racks_walked(walk)),
        "checks": [_row_json(each, stop) for stop in stops for each in stop.rows],
        "apart": [{**_gate_json(check), "why": check.apart} for check in walk.apart],
    }


def _gate_json(check: DoubtfulGate) -> dict[str, Any]:
    return {"kind": check.kind, "code": check.code, "gate": check.gate}


def _row_json(each: SheetRow, stop: SheetStop) -> dict[str, Any]:
    row = each.row
    return {
        "number": row.number,
        **_gate_json(row.check),
        "phase": row.check.phase.name.lower(),
        "rack": stop.rack,
        "slot": row.check.place.slot,
        "critical": row.check.is_critical,
        "act": row.act,
        "limits": list(row.limits),
        "last_good": row.last_good,
        "address": row.address,
        "reasons": list(row.check.reasons),
    }
