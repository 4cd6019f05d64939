"""Write the wire list to a file that `import_wire_list` reads unchanged."""

import json
import sys
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand

from restoration.common.commands import needs_tables, refuse
from restoration.engineering.wire_list.outcome import counted
from restoration.engineering.wire_list.wires import WireRow
from restoration.engineering.wire_list.writing import write_csv, write_xlsx
from restoration.machine.models import Interconnect, Rack
from restoration.machine.services.wire_list import wires_for_export

WRITERS = {"csv": write_csv, "xlsx": write_xlsx}


class Refusal(Exception):  # noqa: N818  (its text is the sentence)
    """Why no list is written."""


class Command(BaseCommand):
    """Without a file the list is printed, as .csv; what is refused gives the exit status 2."""

    help = __doc__

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", nargs="?", default="", help="where to write; without it the list is printed")
        parser.add_argument("--kind", choices=sorted(WRITERS), help="csv or xlsx; else as the file's name says, or csv")
        parser.add_argument("--rack", help="only links with an end in this rack")
        parser.add_argument("--json", action="store_true", help="print for a program; the list goes into the file")

    @needs_tables
    def handle(self, *args: Any, **options: Any) -> None:
        try:
            if options["json"] and not options["file"]:
                raise Refusal("With --json the list goes into a file, and no file was named.")
            kind = _kind(options["kind"], options["file"])
            rows = _rows(options["rack"])
            written = WRITERS[kind](rows)
            if not options["file"]:
                self._print(written, kind)
                return
            _put(options["file"], written)
        except Refusal as refusal:
            refuse(self, [str(refusal)], as_program=options["json"])
        told = {"links": len(rows), "file": options["file"]}
        said = f"{counted(len(rows), 'link')} written to {options['file']}."
        self.stdout.write(json.dumps(told, ensure_ascii=False) if options["json"] else said)

    def _print(self, written: bytes, kind: str) -> None:
        if kind == "csv":
            self.stdout.write(written.decode("utf-8-sig").replace("\r\n", "\n"), ending="")
        else:
            sys.stdout.buffer.write(written)


def _kind(kind: str | None, file: str) -> str:
    """The kind that was asked for, else the one the file's name ends in."""
    ending = Path(file).suffix.lower().removeprefix(".")
    if not kind and ending and ending not in WRITERS:
        raise Refusal(f"A wire list is written as .csv or .xlsx, and the name “{file}” ends in “.{ending}”.")
    return kind or ending or "csv"


def _rows(rack_code: str | None) -> list[WireRow]:
    links = Interconnect.objects.all()
    if rack_code is not None:
        rack = Rack.objects.filter(code=rack_code).first()
        if rack is None:
            raise Refusal(f"There is no rack “{rack_code}”.")
        links = links.touching_rack(rack)
    return list(wires_for_export(links))


def _put(file: str, written: bytes) -> None:
    try:
        Path(file).write_bytes(written)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise Refusal(f"The file “{file}” cannot be written: {reason}.") from error
