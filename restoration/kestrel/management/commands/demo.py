"""Fills an empty database with the demonstration machine, and serves it."""

import os
import sys
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandParser

from restoration.kestrel.loading import fill, holds_someones_work, is_filled

REFUSED = (
    "This database holds someone's work, so the demonstration is not put into it. "
    "Give it a place of its own: DATABASE_URL=sqlite:////some/folder/demo.sqlite3"
)
THINGS_TO_TRY = """
Three things to try
  1. Sign in as {builder}, on a phone if you have one: move a chassis on, add a photograph, hand it over.
  2. Sign in as {tester}: open a link of rack C, record a signal check from a capture, and log a fault if it fails.
  3. Sign in as {lead}: read why rack C is not ready, and what holds it.

The site is at   http://{address}/demo/   until you press Ctrl-C.
"""


class Command(BaseCommand):
    help = "Fills an empty database with the Kestrel Sands tide computer, then serves it on this machine only."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--no-serve", action="store_true", help="fill the database and stop")
        parser.add_argument("--address", default="127.0.0.1:8000", help="where to serve (default 127.0.0.1:8000)")

    def handle(self, *args: Any, **options: Any) -> None:
        call_command("migrate", verbosity=0, interactive=False)
        if holds_someones_work():
            self.stderr.write(REFUSED)
            raise SystemExit(2)
        if is_filled():
            self.stdout.write("The demonstration is in this database already.")
        else:
            self.stdout.write("Filling the demonstration: half a minute or so.")
            acts = fill(tell=lambda said: self.stdout.write(f"  {said}"))
            self.stdout.write(f"The Kestrel Sands tide computer is in, with {acts} acts of its story.")
        if not options["no_serve"]:
            self._serve(options["address"])

    def _serve(self, address: str) -> None:
        names = {"builder": "Pilar", "tester": "Tomasz", "lead": "Ama", "address": address}
        self.stdout.write(THINGS_TO_TRY.format(**names))
        self.stdout.flush()
        words = ["-m", "gunicorn", "--chdir", str(settings.BASE_DIR), "--bind", address, "--workers", "2"]
        words += ["--threads", "4", "--log-level", "warning", "restoration.wsgi"]
        os.execve(sys.executable, [sys.executable, *words], {**os.environ, "DEMO": "1"})  # noqa: S606
