"""Works out every standing again from the records, or only checks the stored copy."""

import json
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from restoration.commissioning.services import compare_standing, recompute_all
from restoration.common.commands import needs_tables


class Command(BaseCommand):
    help = (
        "Works out every standing again from the records. With --check only compares the stored copy: "
        "exit status 0 where it agrees, 1 where it does not, 2 refused."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--check", action="store_true", help="compare, and change nothing")
        parser.add_argument("--json", action="store_true", help="print JSON for a program")

    @needs_tables
    def handle(self, *args: Any, **options: Any) -> None:
        if options["check"]:
            self._check(options["json"])
        else:
            mended = recompute_all()
            text = f"Worked out every standing from the records; {mended} stored rows were not in step and are now."
            self.stdout.write(json.dumps({"mended": mended}) if options["json"] else text)

    def _check(self, as_program: bool) -> None:
        differences = compare_standing()
        if as_program:
            self.stdout.write(json.dumps({"differences": [str(difference) for difference in differences]}))
        elif differences:
            self.stdout.write(f"{len(differences)} stored standings do not agree with the records:")
            for difference in differences[:20]:
                self.stdout.write(f"  {difference}")
        else:
            self.stdout.write("Every stored standing agrees with the records.")
        raise SystemExit(1 if differences else 0)
