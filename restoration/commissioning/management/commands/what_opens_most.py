"""Says which one missing thing would let most signals be checked."""

import json
from typing import Any

from django.core.management.base import BaseCommand, CommandParser
from django.utils.text import capfirst

from restoration.commissioning.unlocking import Openers, as_json, named, say, sentence, what_opens_most
from restoration.common.commands import needs_tables, refuse
from restoration.common.text import can_be_stored
from restoration.engineering.unlock import CRITICAL_WEIGHT
from restoration.machine.models import Rack


class Command(BaseCommand):
    help = (
        "Says which one missing chassis, wire or check would let most signals be checked. "
        "Exit status: 0 something would, 1 no single thing would, 2 refused."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--rack", help="only links of this rack, by its code")
        parser.add_argument("--json", action="store_true", help="print JSON for a program")

    @needs_tables
    def handle(self, *args: Any, **options: Any) -> None:
        rack = self._rack(options["rack"], options["json"]) if options["rack"] is not None else None
        openers = what_opens_most(rack)
        if options["json"]:
            answer = {"rack": rack.code if rack else None, **as_json(openers)}
            self.stdout.write(json.dumps(answer, ensure_ascii=False))
        else:
            self._tell(openers, f"rack {rack.code}" if rack else "the machine")
        raise SystemExit(0 if any(row.unlock.links for row in openers.rows) else 1)

    def _rack(self, code: str, as_program: bool) -> Rack:
        rack = Rack.objects.filter(code=code).first() if can_be_stored(code) else None
        if rack is None:
            known = ", ".join(Rack.objects.in_order().values_list("code", flat=True)) or "none yet"
            refuse(self, [f"There is no rack “{code}”. The racks are: {known}."], as_program=as_program)
        return rack

    def _tell(self, openers: Openers, where: str) -> None:
        self.stdout.write(sentence(openers, where))
        for number, row in enumerate(openers.rows, start=1):
            self.stdout.write(f"  {number}. {capfirst(say(row))}")
            if row.frees:
                self.stdout.write(f"     {', '.join(link.code for link in row.frees)}")
            for other in row.unlock.together[:1]:
                self.stdout.write(f"     With {named(other.thing)}: {other.links} more.")
        if openers.rows:
            self.stdout.write(f"Critical links count {CRITICAL_WEIGHT} times: a placeholder, from no measurement.")
