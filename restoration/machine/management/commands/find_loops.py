"""Find the loops of the wiring: slots from which a signal comes back to where it was."""

import json
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from restoration.common.commands import needs_tables
from restoration.machine.wiring import wiring_now
from restoration.machine.wiring.telling import find_loops, loops_as_json, loops_in_sentences

FOUND, NONE = 0, 1


class Command(BaseCommand):
    """The exit status is 0 where there is a loop, if only of one slot, 1 where there is none, 2 where it refuses."""

    help = __doc__

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--json", action="store_true", help="print for a program")

    @needs_tables
    def handle(self, *args: Any, **options: Any) -> None:
        known = wiring_now()
        found = find_loops(known)
        if options["json"]:
            self.stdout.write(json.dumps(loops_as_json(found), ensure_ascii=False))
        else:
            self.stdout.write("\n".join(loops_in_sentences(known, found)))
        raise SystemExit(FOUND if found.is_any else NONE)
