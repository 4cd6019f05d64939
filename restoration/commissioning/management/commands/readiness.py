"""Says which racks are ready, and what holds the others."""

import json
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from restoration.commissioning.readiness import as_json, readiness_of, say, sentence
from restoration.common.commands import needs_tables, refuse
from restoration.machine.models import Rack


class Command(BaseCommand):
    help = "Says which racks are ready and what holds the others. Exit status: 0 ready, 1 not ready, 2 refused."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--rack", help="only this rack, by its code")
        parser.add_argument("--json", action="store_true", help="print JSON for a program")

    @needs_tables
    def handle(self, *args: Any, **options: Any) -> None:
        racks = Rack.objects.in_order()
        if options["rack"] is not None:
            racks = racks.filter(code=options["rack"])
            if not racks:
                self._refuse(options["rack"], options["json"])
        answers = readiness_of(racks)
        if options["json"]:
            self.stdout.write(json.dumps({"racks": [as_json(answer) for answer in answers]}, ensure_ascii=False))
        else:
            for answer in answers:
                self._tell(answer)
            if not answers:
                self.stdout.write("There are no racks yet.")
        raise SystemExit(0 if answers and all(answer.is_ready for answer in answers) else 1)

    def _refuse(self, code: str, as_program: bool) -> None:
        known = ", ".join(Rack.objects.in_order().values_list("code", flat=True)) or "none yet"
        text = f"There is no rack “{code}”. The racks are: {known}."
        refuse(self, [text], as_program=as_program)

    def _tell(self, answer: Any) -> None:
        self.stdout.write(f"Rack {answer.rack}. {sentence(answer)}")
        for count in answer.gates:
            self.stdout.write(f"  {count.gate}: {count.good} of {count.total}")
        for number, item in enumerate(answer.missing[:5], start=1):
            self.stdout.write(f"  {number}. {say(item)}")
