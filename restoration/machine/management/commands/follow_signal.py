"""Follow a signal through the wiring: from a slot or a terminal, up or down, for some hops or to the end."""

import json
from argparse import ArgumentParser
from typing import Any

from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand

from restoration.common.commands import needs_tables, refuse
from restoration.engineering.wiring import cone
from restoration.machine.wiring import find_place, wiring_now
from restoration.machine.wiring.telling import cone_as_json, cone_in_sentences

REACHED, NOTHING = 0, 1
FARTHEST = 10**9


class Command(BaseCommand):
    """The exit status is 0 where a slot is reached, 1 where none is, 2 where it refuses."""

    help = __doc__

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("place", help="a slot by its code, or a terminal as slot:terminal")
        parser.add_argument("--up", action="store_true", help="towards what drives it")
        parser.add_argument("--down", action="store_true", help="towards what it drives")
        parser.add_argument("--hops", help="stop after so many links in a row; without it, go to the end")
        parser.add_argument("--json", action="store_true", help="print for a program")

    @needs_tables
    def handle(self, *args: Any, **options: Any) -> None:
        try:
            down, hops = _way(options), _hops(options["hops"])
            place = find_place(options["place"])
        except ValidationError as refusal:
            refuse(self, refusal.messages, as_program=options["json"])
        known = wiring_now()
        found = cone(known.graph, known.start(place), down=down, hops=hops)
        if options["json"]:
            self.stdout.write(json.dumps(cone_as_json(known, found, place.text, down=down), ensure_ascii=False))
        else:
            self.stdout.write("\n".join(cone_in_sentences(known, found, place.text, down=down)))
        raise SystemExit(REACHED if len(found.slots) else NOTHING)


def _way(options: dict[str, Any]) -> bool:
    """Whether to follow it down."""
    if options["up"] == options["down"]:
        given = "both were given" if options["up"] else "neither was given"
        raise ValidationError(f"Say exactly one of --up and --down; {given}.")
    return bool(options["down"])


def _hops(text: str | int | None) -> int | None:
    """How many links in a row to follow; None to the end."""
    if text is None:
        return None
    said = str(text).strip()
    counted = said.lstrip("0")
    if not (said.isascii() and said.isdigit() and counted):
        raise ValidationError(f"--hops must be a whole number from 1 up; “{text}” was given.")
    return int(counted) if len(counted) < len(str(FARTHEST)) else FARTHEST
